"""Plain words in, records out: `read` makes of one message its entries, questions and doubts. No I/O, no clock.

The stages, in their order (`reader`):
    words: `tokens` tidies and cuts the text; `lexicon` gives each word its meanings from the phrases file.
    dogs: `roster` knows the names, `dogs` finds them (`names`, `groups`, `litters`).
    figures: `numbers`, then `amounts` with their units, then `dates` (`days`, `no_day`).
    clauses: `clauses` cuts, `mood` says how each is meant, `subjects` whom it is about.
    records: the subjects' readers over one `work`: `care` (`measures`, `condition`, `signs`, `swallowed`, `groom`,
        `doses`, `teeth`; `people` knows what is told of a person), `ears`, `feeding` (`bowls`, `treats`, `meals`),
        `breeding` (`seasons`, `matings`, `whelpings`) and `weights` (`figures`, `sums`, `ownerless`).
    questions: `questions` (`about`, `requests`, `undo`).
    the talk before: `context` gives the dog, `answers` what was asked, `corrections` what is put right.
"""

from bot.reading.reader import explain, read

__all__ = ["explain", "read"]
