"""Plain words in, records out: `read` makes of one message its entries, questions and doubts. No I/O, no clock.

The stages, each in its file: `tokens` (tidied words with their meanings from `lexicon`), `dogs` (names and
groups), `amounts`, `dates`, `clauses` (which dogs, how it is meant, when), then the subjects' readers
(`weights`, `ears`, `feeding`, `care`, `breeding`, `questions`) and, where the message leaves something open,
`context` (the dog, the question or the entry of an earlier message).
"""

from bot.reading.reader import explain, read

__all__ = ["explain", "read"]
