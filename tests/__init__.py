"""The tests. The main ones are the dialogues; `stand_ins` has the Bot API double that the chat tests talk to."""
