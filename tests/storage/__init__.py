"""The storage, on real databases in a temporary folder."""
