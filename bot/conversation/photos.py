"""Photos: one with a caption about a dog is kept with the dog, and shown again by date, with ears and weight beside it.

The picture itself stays with the chat; kept is the chat's handle of it. Family snaps are none of ours.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from bot.conversation.about import dog_meant, dogs_named, found, only_named
from bot.conversation.hearing import Hearing
from bot.replies import photos as words
from core.entries import Ears, Photo, Question, Reading
from core.ledger import Posted
from core.messages import PHOTO, Say
from core.roster import BREEDER, Dog
from shared.texts import text

LATELY = timedelta(minutes=10)  # until when the next message may say whose photo it was
SHOWN, SHOWN_OF_ALL = 3, 10  # photos under "ears …"; under "all photos of …"


def added(reading: Reading, hearing: Hearing) -> Reading:
    """The reading with the photo of the message, where it is plainly one of a dog of ours."""
    if not hearing.message.picture or any(isinstance(e, Photo) for e in reading.entries):
        return reading
    if "?" not in hearing.message.text:
        reading = replace(reading, questions=())  # "Teasel's ears" under a photo is no question
    said, picture = hearing.message.text, hearing.message.picture
    photos = [Photo(dog=d.name, on=hearing.on, picture=picture, said=said) for d in _of(reading, hearing)]
    return replace(reading, entries=(*reading.entries, *photos))


def pass_on(hearing: Hearing) -> None:
    """A buyer's photo is shown to the breeder: with the worry that it came with, where there is one."""
    if hearing.person.role != "buyer" or hearing.message.edit:
        return
    photo = next((p.entry for p in hearing.posts if isinstance(p.entry, Photo)), None)
    dog = hearing.kennel.dog(photo.dog) if photo is not None else None
    if photo is None or dog is None:
        return
    picture = f"{PHOTO}{photo.picture}"
    for n, said in enumerate(hearing.out):
        if isinstance(said, Say) and said.room == BREEDER and said.about == "worry":
            hearing.out[n] = replace(said, picture=picture)
            return
    hearing.tell_breeder(words.from_buyer(hearing.person, dog, photo, hearing.on), about="photo", picture=picture)


def answer(hearing: Hearing) -> bool:
    """True where the photos of a dog were asked for; they are shown in order of date."""
    if hearing.message.picture:
        return False  # the words under a photo say what it shows
    if _named_after(hearing):
        return True
    if (asked := found("ears_of", hearing)) and (named := dogs_named(asked[0], hearing)):
        hearing.took(asked)
        from bot.conversation import questions  # which shows photos itself

        questions.answer((Question(about="ears", dog=named[0].name),), hearing)
        return True
    match = found("photos_of", hearing)
    dog = dog_meant(hearing) if match else None
    if match is None or dog is None:
        return False
    hearing.took(match)
    if not _kept(dog, hearing):
        hearing.say(text("photos.none", dog=dog.name))
        return True
    show(dog, hearing, SHOWN_OF_ALL)
    return True


def show(dog: Dog, hearing: Hearing, most: int = SHOWN) -> None:
    """The newest photos of the dog, each with its day and what was written of ears and weight about then."""
    kept = _kept(dog, hearing)
    for posted in kept[-most:]:
        assert isinstance(posted.entry, Photo)
        said = words.caption(dog, posted.entry, hearing.ledger, hearing.kennel, hearing.unit, hearing.on)
        hearing.say(said, about="photo", picture=f"{PHOTO}{posted.entry.picture}")


def _kept(dog: Dog, hearing: Hearing) -> list[Posted]:
    """The dog's photos in order of date; to a buyer those of their own line alone."""
    own = hearing.person.role == "buyer"
    found_ = [p for p in hearing.ledger.of(dog.name, Photo) if not own or p.room == hearing.message.room]
    return sorted(found_, key=lambda p: (p.entry.on, p.id))


def _of(reading: Reading, hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs that the photo is of: a buyer's own; those whose names are all that the caption says; else the one named
    in the caption with what the photo shows."""
    if hearing.person.role == "buyer":
        own = hearing.kennel.living()
        return own if len(own) == 1 else ()
    if only := only_named(hearing, "photo_beside"):
        return only
    read = {e.dog for e in reading.entries}
    named = [d.name for d in dogs_named(hearing.message.text, hearing)] or sorted(read)
    shows = found("photo_shows", hearing) is not None or any(isinstance(e, Ears) for e in reading.entries)
    dog = hearing.kennel.dog(named[0]) if len(set(named)) == 1 else None
    if dog is None and shows and not named:
        dog = dog_meant(hearing)
    return (dog,) if shows and dog is not None else ()


def _named_after(hearing: Hearing) -> bool:
    """True where the names of the dogs came as the message after their photo."""
    dogs = only_named(hearing, "photo_beside") if hearing.person.role != "buyer" else ()
    before = next((m for m in reversed(hearing.scene.recent) if m.sender == hearing.message.sender), None)
    if not dogs or before is None or not before.picture or hearing.at - before.sent_at > LATELY:
        return False
    kept = {p.entry.picture for d in hearing.kennel.living() for p in hearing.ledger.of(d.name, Photo)
            if isinstance(p.entry, Photo)}  # fmt: skip
    if before.picture in kept or before.text.strip():
        return False
    for dog in dogs:
        hearing.post(Photo(dog=dog.name, on=hearing.on, picture=before.picture, said=hearing.message.text))
    hearing.mark()
    return True
