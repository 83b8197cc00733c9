"""Answers to the nine kinds of question: an assessment put into a few words, with its reasons kept for "why?".

One file a subject. Each takes the question and who asks it (with the kennel and the book as they may see them),
and gives an `Answer`. `undo` changes the book and so is the conversation's own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bot.replies.answers import charts, due_soon, ears, fed_today, growing, rations, summaries, weights
from bot.replies.answers.asker import Answer, Asker
from core.entries import Question

SUBJECTS: Mapping[str, Callable[[Question, Asker], Answer]] = {
    "weight": weights.answer,
    "growth": growing.answer,
    "ears": ears.answer,
    "chart": charts.answer,
    "ration": rations.answer,
    "fed": fed_today.answer,
    "due": due_soon.answer,
    "summary": summaries.answer,
}


def answer(question: Question, asker: Asker) -> Answer | None:
    """The answer to a question, None where it is about something that nobody answers."""
    subject = SUBJECTS.get(question.about)
    return subject(question, asker) if subject else None


__all__ = ["Answer", "Asker", "answer"]
