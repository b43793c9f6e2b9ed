"""What is to be printed, with everything a sheet may show, and the words that all sheets share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from library.cards.card import Card
from library.cards.centers import center_title
from library.materials.amounts import Quantity
from library.paper.faces import NO_BREAK
from library.paper.pictograms import Pictograms
from library.paper.sheet import LETTER, Paper
from library.plan.reach import wants_reach
from library.plan.rules import RuleSet
from library.plan.unitplan import UnitPlan
from library.room.room import Room
from library.units.calendar import open_days
from library.units.placed import Placed

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

CENTER_WORDS: Mapping[str, Mapping[str, str]] = {
    "es": {
        "sensory": "Sentidos",
        "water": "Agua",
        "light": "Luz",
        "art": "Arte",
        "easel": "Caballete",
        "dough": "Masa",
        "dramatic": "Jugar a ser",
        "blocks": "Bloques",
        "table": "Mesa",
        "writing": "Escritura",
        "books": "Libros",
        "science": "Ciencias",
        "music": "Música",
        "outdoors": "Afuera",
        "circle": "Ronda",
    }
}
"""Names of the centers for labels, by language."""


@dataclass(frozen=True)
class Job:
    """One unit in one room, to be printed on one paper."""

    plan: UnitPlan
    paper: Paper = LETTER
    pictograms: Pictograms = field(default_factory=Pictograms)
    address: str = ""
    """Where the room reaches the server, for printed codes; empty: no codes."""
    day: dt.date | None = None
    """The day of a sheet for one day; None: the unit's first."""
    rules: RuleSet | None = None
    """Local rules whose words the posted plan names."""
    letter: str | None = None
    """The text of the family letter as a person has edited it; None: as it is composed."""

    @property
    def room(self) -> Room:
        """The room it is for."""
        return self.plan.room

    @property
    def title(self) -> str:
        """What the unit is called."""
        return self.plan.unit.title

    @property
    def one_day(self) -> dt.date | None:
        """The day of a sheet for one day; None where the unit has no open day."""
        days = open_days(self.plan.unit, self.room)
        return self.day or (days[0] if days else None)

    def walk(self) -> tuple[str, ...]:
        """The centers in walking order: the room's own, then those that only the unit names."""
        return walking_order(self.room, self.plan.placed)


def walking_order(room: Room, placed: Iterable[Placed]) -> tuple[str, ...]:
    """Centers in the order one walks the room; those it does not list come last."""
    return tuple(dict.fromkeys([*room.centers, *(each.center for each in placed)]))


def in_walking_order(job: Job, placed: Iterable[Placed]) -> tuple[Placed, ...]:
    """Placements in the order in which one meets their centers."""
    place = {center: number for number, center in enumerate(job.walk())}
    return tuple(sorted(placed, key=lambda each: (place[each.center], each.number)))


def center_name(center: str, language: str = "en") -> str:
    """What a sheet calls a center; empty where there is no word in a language."""
    if language == "en":
        return center_title(center)
    return CENTER_WORDS.get(language, {}).get(center, "")


def title_of(placed: Placed) -> str:
    """What a sheet calls a placement: its card's title, what is added, or the card's id."""
    if placed.card:
        return placed.card.title
    return placed.placement.add or placed.placement.activity or "as it is"


def weekday(day: dt.date) -> str:
    """``Mon``."""
    return _DAYS[day.weekday()]


def day_words(day: dt.date) -> str:
    """``Mon 5 Oct``."""
    return f"{weekday(day)} {day.day} {_MONTHS[day.month - 1]}"


def span_words(days: Iterable[dt.date]) -> str:
    """``Mon 5 Oct`` or ``Mon 5 Oct to Fri 16 Oct``; empty without days."""
    held = sorted(days)
    if not held:
        return ""
    if held[0] == held[-1]:
        return day_words(held[0])
    return f"{day_words(held[0])} to {day_words(held[-1])}"


def days_words(placed: Placed) -> str:
    """When a placement stands: its first and last day, and which weekdays where not all."""
    span = span_words(placed.days)
    weekdays = list(dict.fromkeys(day.weekday() for day in sorted(placed.days)))
    if len(placed.days) > 1 and placed.placement.on:
        return f"{span}, {', '.join(_DAYS[number] for number in sorted(weekdays))}"
    return span or "no day"


def adult_words(job: Job, placed: Placed) -> str:
    """How close an adult stays; within reach beside water, whatever the card says."""
    if wants_reach(job.plan, placed):
        return "An adult within arm's reach."
    return "An adult within sight and sound."


def group_words(card: Card) -> str:
    """How many children at once; empty where the card does not say."""
    if card.group is None:
        return ""
    if card.group.high == 1:
        return "1 child at a time."
    return f"Up to {card.group.high} children at once."


def amount_words(quantity: Quantity | None, written: str) -> str:
    """An amount as it is put out, or as it was written where it could not be read."""
    return (str(quantity) if quantity is not None else written).replace(" ", NO_BREAK)


def minutes_words(minutes: int) -> str:
    """``5 min``, which no line parts."""
    return f"{minutes}{NO_BREAK}min"


def clock(moment: dt.time) -> str:
    """``8:30``."""
    return f"{moment.hour}:{moment.minute:02}"
