"""An invented kennel, and messages drawn for it: sentences that record, ask or deny, and texts nobody would write."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import strategies as st

from bot.reading.lexicon import lexicon
from core.roster import Dog, Kennel, KnownWeight, Person

ON = date(2026, 7, 8)  # a Wednesday
AT = datetime(2026, 7, 8, 18, 30, tzinfo=ZoneInfo("Europe/London"))
SENDER = "Ottilie"


def _dog(name: str, sex: str, age: timedelta, kg: float, litter: str | None = None) -> Dog:
    return Dog(name=name, sex=sex, born=ON - age, litter=litter, last_weight=KnownWeight(kg=kg, on=ON - timedelta(5)))


# Names that are no words, none a slip away from another, so that only the rule under test decides.
KENNEL = Kennel(
    name="Vexholm",
    zone="Europe/London",
    weight_unit="kg",
    day_first=True,
    people=(Person(name=SENDER), Person(name="Ansgar")),
    dogs=(
        _dog("Zorvik", "m", timedelta(days=1500), 27.0),
        _dog("Brelka", "f", timedelta(days=1300), 22.0),
        _dog("Quilmo", "m", timedelta(days=150), 14.0, "Brelka"),
        _dog("Jundra", "f", timedelta(days=150), 12.0, "Brelka"),
        _dog("Fyxen", "m", timedelta(days=12), 0.8, "Skanda"),
        _dog("Skanda", "f", timedelta(days=1900), 24.0),
    ),
)
GROWN = ("Zorvik", "Brelka", "Quilmo", "Jundra", "Skanda")

# Sentences with a place for one dog's name, of every kind of entry and question, told, denied, planned and asked.
_ONE = (
    "{dog} weighs {kg} kg",
    "{dog} {kg} kg this morning",
    "{dog} was {kg} kg yesterday",
    "{dog}'s ears are both up",
    "{dog}'s left ear is half up and the right is down",
    "{dog} had one and a half cups for dinner",
    "{dog} licked his bowl clean at breakfast",
    "{dog} left some of her lunch",
    "{dog} wouldn't touch his dinner",
    "gave {dog} two treats",
    "brushed {dog} and did his nails",
    "{dog} had a bath on Sunday",
    "{dog} has been limping since Monday",
    "{dog} threw up yellow foam last night",
    "{dog} got his wormer",
    "{dog} vaccinated today",
    "{dog}'s temp is 38.6",
    "{dog} is 55 cm at the withers",
    "{dog} condition 5, ribs easy to feel",
    "{dog} lost a tooth",
    "{dog} ate a sock",
    "no vomiting from {dog} today",
    "bath for {dog} tomorrow",
    "how much should {dog} get",
    "how heavy was {dog}",
    "has anyone fed {dog}",
    "when is {dog} due his wormer",
    "how is {dog} doing",
)
_TWO = (
    "{dog} {kg} kg, {other} fed",
    "brushed {dog} and {other}",
    "{dog} and {other} both had half a cup for lunch",
    "{dog} has diarrhoea and {other} is coughing",
    "{dog} finished her dinner but {other} left some",
)
_NONE = (
    "kettle's on",
    "who's picking up milk?",
    "all the pups had breakfast",
    "everyone wormed today",
    "the girls had a bath",
    "undo that",
    "9.4 kg",
    "somebody was sick in the kitchen",
)

KG = {"Zorvik": 27.2, "Brelka": 22.3, "Quilmo": 14.4, "Jundra": 12.2, "Skanda": 24.1, "Fyxen": 0.8}


@dataclass(frozen=True)
class Sentence:
    """A message with the names still to be put in."""

    form: str
    dogs: tuple[str, ...]

    @property
    def text(self) -> str:
        """As somebody of the kennel writes it."""
        return self.named({})

    def named(self, names: dict[str, str]) -> str:
        """The same with other names, by the old ones."""
        said = [names.get(d, d) for d in self.dogs] + ["", ""]
        kg = KG[self.dogs[0]] if self.dogs else 0
        return self.form.format(dog=said[0], other=said[1], kg=kg)


def sentences() -> st.SearchStrategy[Sentence]:
    """One plain sentence about one dog, two or none."""
    pairs = st.permutations(GROWN).map(lambda order: tuple(order[:2]))
    return st.one_of(
        st.builds(Sentence, st.sampled_from(_ONE), st.sampled_from(GROWN).map(lambda d: (d,))),
        st.builds(Sentence, st.sampled_from(_TWO), pairs),
        st.builds(Sentence, st.sampled_from(_NONE), st.just(())),
    )


_SYLLABLES = ("vra", "zil", "kro", "dwe", "fyo", "gux", "jav", "plo", "sku", "thy", "xen", "quo", "bly", "nur", "wez")


def non_words() -> st.SearchStrategy[str]:
    """Invented words of two to four syllables that no language has and no phrase of the reader holds."""
    made = st.lists(st.sampled_from(_SYLLABLES), min_size=2, max_size=4).map("".join)
    return made.filter(lambda w: w not in lexicon().root)


def letters_apart(names: list[str]) -> bool:
    """True where no two of the names share their first four letters or could be slips of each other."""
    return len({n[:4] for n in names}) == len(names) and len({n[0] for n in names}) == len(names)


def any_text() -> st.SearchStrategy[str]:
    """Any text at all, lone surrogates, controls and unassigned characters with it."""
    odd = st.characters(codec=None, exclude_categories=())
    return st.text(odd, max_size=300)


_HEARD = (*(w for w in lexicon().root if w), *(d.name for d in KENNEL.dogs), "Zorviks", "brelka's", SENDER)
_FIGURES = (
    "9.4",
    "9,4",
    "27",
    "27.2",
    "1/2",
    "3/4",
    "½",
    "12:30",
    "3/3/2026",
    "007",
    "9.4.6",
    "1,500",
    "31/2",
    "0",
    "٣",
)
_MARKS = (
    ",",
    ".",
    "…",
    "?",
    "!",
    "\n",
    "\n\n",
    "|",
    ":",
    "-",
    "–",
    "(",
    ")",
    "/",
    "&",
    "+",
    "=",
    "£",
    "°",
    '"',
    "'",
    "’",
)


def heard_text(max_words: int = 40, odd: bool = True) -> st.SearchStrategy[str]:
    """Words that the reader knows, figures and marks in any order: the text likeliest to break it.

    With `odd`, stretches of any text stand between them.
    """
    known = (st.sampled_from(_HEARD), st.sampled_from(_FIGURES), st.sampled_from(_MARKS))
    word = st.one_of(*known, any_text()) if odd else st.one_of(*known)
    joint = st.sampled_from((" ", " ", " ", "", "  "))
    pairs = st.lists(st.tuples(word, joint), max_size=max_words)
    return pairs.map(lambda found: "".join(w + j for w, j in found))
