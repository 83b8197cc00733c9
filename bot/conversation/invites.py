"""The breeder invites: "invite Ana for Moss", "invite a helper", "sitter Joan from 10 to 14 March"; and takes it back.

Least privilege: somebody whose place is not said is asked about, not let in; a link is told in her own line only.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

from bot.conversation.about import dogs_named
from bot.conversation.days import span_ahead
from bot.conversation.heard import LONGEST, patterns
from bot.conversation.hearing import Hearing
from bot.enrolment import heard
from bot.replies import say_units
from core.access import HELPERS
from core.roster import BREEDER, Person
from core.turns import Invite
from shared.texts import listed, text

LONGEST_STAY = timedelta(days=60)


def answer(hearing: Hearing) -> bool:
    """True where the breeder invited somebody or took a link back."""
    said = " ".join(hearing.message.text.replace("’", "'").split()).rstrip(" .!")
    if not hearing.is_breeder or not said or len(said) > LONGEST or said.endswith("?"):
        return False
    for name, step in _STEPS.items():
        match = next((m for p in patterns(f"invite.{name}") if (m := p.fullmatch(said))), None)
        if match is None:
            continue
        if hearing.message.room == BREEDER:
            return step(hearing, match)
        # Elsewhere it is said only of what would have made or stopped a link: "invite Ida for dinner" is talk.
        tried = replace(hearing, out=[], memory=dict(hearing.memory), uninvited=[], taken=[])
        step(tried, match)
        if tried.invite is None and not tried.uninvited:
            return False
        hearing.say(text("invites.only_private"))
        return True
    return False


def _withdraw_all(hearing: Hearing, match: re.Match[str]) -> bool:
    hearing.uninvited = ["", *(p.name for p in hearing.house.people)]
    hearing.say(text("invites.withdrawn_all"))
    return True


def _withdraw(hearing: Hearing, match: re.Match[str]) -> bool:
    who = match["who"].strip()
    if any(p.fullmatch(who) for p in patterns("invite.nobody")):
        return False
    person = hearing.house.person(who)
    if person is not None:
        hearing.uninvited = [person.name]
        hearing.say(text("invites.withdrawn", who=person.name))
    elif heard.found("roles", who):
        hearing.uninvited = [""]
        hearing.say(text("invites.withdrawn_helper"))
    else:
        hearing.say(text("invites.nobody", who=who))
    return True


def _helper(hearing: Hearing, match: re.Match[str]) -> bool:
    hearing.invite = Invite()
    _send(hearing, "helper")
    return True


def _sitter(hearing: Hearing, match: re.Match[str]) -> bool:
    name = heard.call_name_said(match["who"])
    if name is None or any(p.fullmatch(match["who"]) for p in patterns("invite.not_a_name")):
        return False  # "the sitter comes on the 10th" is talk
    days = match.groupdict().get("days") or ""
    span = span_ahead(days, hearing.on, hearing.kennel) if days else None
    if span is None or span[1] - span[0] > LONGEST_STAY:
        hearing.say(text("invites.which_days", who=name))
        return True
    person = _on_the_list(hearing, name, "sitter")
    if person is None:
        return True
    _put(hearing, replace(person, since=span[0], until=span[1]))
    hearing.invite = Invite(person=person.name, role="sitter")
    _again(hearing, replace(person, since=span[0], until=span[1]))
    return True


def _buyer(hearing: Hearing, match: re.Match[str]) -> bool:
    name = _name(match["who"])
    if name is None:
        return False
    dogs = dogs_named(match["dogs"], hearing)
    known = hearing.house.person(name)
    if not dogs and (known.role != "buyer" if known else not match["dogs"].strip()[:1].isupper()):
        return False  # "invite the neighbours for tea", "invite Ida for dinner"
    if not dogs:
        hearing.say(text("invites.no_dog", dog=match["dogs"].strip()))
        return True
    person = _on_the_list(hearing, name, "buyer")
    if person is None:
        return True
    away = next((d for d in dogs if d.home and d.home != person.name), None)
    if away is not None:
        hearing.say(text("invites.elsewhere", dog=away.name, who=away.home))
        return True
    person = replace(person, dogs=tuple(dict.fromkeys((*person.dogs, *(d.name for d in dogs)))))
    _put(hearing, person)
    hearing.invite = Invite(person=person.name, role="buyer")
    _again(hearing, person)
    return True


def _named(hearing: Hearing, match: re.Match[str]) -> bool:
    """Somebody by name: as whom it is said, or as who they are on the list already."""
    said = re.sub(r"\b(?:as|to|into|in|the group|the family|us)\b", " ", match["who"], flags=re.IGNORECASE)
    told = heard.people_said(said, hearing.house)
    if len(told) != 1 or (_name(said) is None and not heard.found("roles", said)):
        return False
    known = hearing.house.person(told[0].name)
    if known is None and not heard.found("roles", said):
        hearing.say(text("invites.which_role", who=told[0].name))
        return True
    if told[0].role == "sitter" and (known is None or known.role == "sitter"):
        hearing.say(text("invites.which_days", who=told[0].name))
        return True
    if told[0].role == "buyer" and known is None:
        hearing.say(text("invites.which_role", who=told[0].name))
        return True
    role = told[0].role if known is None else known.role
    if role == "breeder":
        return False
    person = known or _on_the_list(hearing, told[0].name, role)
    if person is None:
        return True
    _put(hearing, person)
    hearing.invite = Invite(person=person.name, role=role)
    _again(hearing, person)
    return True


def _name(who: str) -> str | None:
    """The call name, None for somebody by trade alone: "the vet", "our neighbours"."""
    said = next((p.sub("", who, count=1) for p in patterns("invite.as_buyer") if p.match(who)), who)
    unnamed = any(p.match(said) for p in patterns("invite.nobody")) and not any(w[0].isupper() for w in said.split())
    return None if unnamed else heard.call_name_said(said)


def _again(hearing: Hearing, person: Person) -> None:
    """The link of somebody whose place is known."""
    kind = person.role if person.role in ("buyer", "mentor", "sitter") else "family"
    first, last = (_day(hearing, on or hearing.on) for on in (person.since, person.until))
    _send(hearing, kind, who=person.name, dogs=listed(list(person.dogs)), first=first, last=last)


_STEPS = {
    "withdraw_all": _withdraw_all, "withdraw": _withdraw, "helper": _helper, "sitter": _sitter, "buyer": _buyer,
    "named": _named,
}  # fmt: skip


def _on_the_list(hearing: Hearing, name: str, role: str) -> Person | None:
    """The person of that name and role, new where there is none; None where the name is another's, which is said."""
    known = hearing.house.person(name)
    if known is not None:
        same = known.role == role or {known.role, role} <= HELPERS
        if not same:
            hearing.say(text("invites.another", who=known.name))
        return known if same else None
    low = name.casefold()
    if any(low in {d.name.casefold(), *(a.casefold() for a in d.also)} for d in hearing.house.dogs):
        hearing.say(text("invites.taken", who=name))
        return None
    return Person(name=name, role=role)


def _put(hearing: Hearing, person: Person) -> None:
    people = hearing.house.people
    if person in people:
        return
    others = [person if p.name == person.name else p for p in people]
    if hearing.house.person(person.name) is None:
        others.append(person)
    hearing.change(replace(hearing.house, people=tuple(others)))


def _send(hearing: Hearing, kind: str, **values: str) -> None:
    """The words to send on; the link and the code are put in where they leave."""
    words = text(f"invites.send.{kind}", link="{link}", code="{code}", **values)
    hearing.say(words, invite=True)


def _day(hearing: Hearing, on: date) -> str:
    return say_units.calendar_day(on, hearing.kennel, hearing.on)
