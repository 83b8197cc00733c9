"""One place in a message where dogs are meant."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class Mention:
    """One place in the message where dogs are meant.

    Attributes:
        i, n: its first word and how many words. names: the dogs meant. kind: `name`, `group`, `pronoun` or
            `unsure`. group: which group word ("all", "pups", …), "" otherwise. newborns: those of the group who
            are newborn, left out of `names` because only some acts fit them. owner: "Nugget's".
        sex: for a pronoun. surely: true where the name cannot be anything else here. plural: stands for several,
            `count` of them where that was said. but: those that the words took out of the group ("all bar Moss").
    """

    i: int
    n: int
    names: tuple[str, ...] = ()
    kind: str = "name"
    group: str = ""
    newborns: tuple[str, ...] = ()
    owner: bool = False
    sex: str = ""
    surely: bool = True
    plural: bool = False
    count: int = 0
    but: tuple[str, ...] = ()

    @property
    def end(self) -> int:
        """The first word after it."""
        return self.i + self.n
