"""The reader: labelled kennels, each a folder of roster, messages and what must be read; and `fettle read`."""
