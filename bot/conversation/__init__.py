"""What one message brings about: what is kept and what is said, and to whom. Pure.

In comes a message with its scene (the roster, the book, what is in mind); out comes a turn. On the way: who speaks
and what they may see (`core.access`), red words, an open question, words to Fettle itself, loss, the breeder's
orders, then the reading with its posts, corrections, doubts, remarks and answers. Each step is a file here.
"""

from bot.conversation.path import hear
from bot.conversation.standing import announced, asked_again, in_mind, moments

__all__ = ["announced", "asked_again", "hear", "in_mind", "moments"]
