"""Plain words in, records out: one message to entries, questions and doubts. No I/O."""
