"""A room as values: who is there when, when the day's blocks are, what lies on the shelf."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Literal, TypeAlias

from library.materials.amounts import Quantity

Weekday: TypeAlias = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WORKING_WEEK: tuple[Weekday, ...] = WEEKDAYS[:5]
BlockKind: TypeAlias = Literal["free", "outdoor", "circle", "meal", "rest"]
USUAL_ADULTS = 2
"""Adults of a room that has not said how many."""
USUAL_RULES = "cfoc"
"""The ratio table of a room that has not chosen one (FIND3)."""


@dataclass(frozen=True, slots=True)
class Child:
    """A child by label. Nothing here may leave the data folder."""

    label: str
    """Initials or a word that the team chooses."""
    born: tuple[int, int]
    """Year and month."""
    allergens: tuple[str, ...] = ()
    """Lower case."""
    days: tuple[Weekday, ...] = WEEKDAYS
    """Weekdays of attendance; all that the room is open on unless said."""
    since: dt.date | None = None
    """First day (the key ``from``); None: always."""
    until: dt.date | None = None
    """Last day; None: no end."""

    def attends(self, day: dt.date) -> bool:
        """Whether the child is there on a day on which the room is open."""
        return (
            WEEKDAYS[day.weekday()] in self.days
            and (self.since is None or self.since <= day)
            and (self.until is None or day <= self.until)
        )


@dataclass(frozen=True, slots=True)
class Block:
    """A part of the day."""

    name: str
    start: dt.time
    end: dt.time
    kind: BlockKind = "free"


@dataclass(frozen=True, slots=True)
class PrepWindow:
    """Minutes in which adults can prepare, on some weekdays."""

    days: tuple[Weekday, ...]
    start: dt.time
    end: dt.time
    adults: int = 1
    away: bool = False
    """Whether the adult may leave the room then."""

    @property
    def minutes(self) -> int:
        """Length in minutes."""
        return (self.end.hour - self.start.hour) * 60 + self.end.minute - self.start.minute


@dataclass(frozen=True, slots=True)
class StockLine:
    """How much of a material lies where."""

    item: str
    amount: Quantity
    """All of it, on the shelf or out in the room."""
    bin: str = ""
    out: Fraction = Fraction(0)
    """How much of it has been taken out, in the measure of the amount."""

    @property
    def shelved(self) -> Quantity:
        """What lies in the bin now."""
        return Quantity(max(Fraction(0), self.amount.number - self.out), self.amount.measure)


@dataclass(frozen=True, slots=True)
class BuyLine:
    """How a material is bought."""

    item: str
    pack: Quantity | None = None
    price: Decimal | None = None
    delivery_days: int = 0
    shop: str = ""


@dataclass(frozen=True, slots=True)
class Loans:
    """How the public library lends.

    Source of the usual values: five public libraries' published policies (loans of two to three
    weeks, hold shelves of three to seven days, interlibrary loans of three to four weeks).
    """

    days: int = 21
    """Days after which a book is due."""
    ahead: int = 14
    """Days before it is fetched on which a book is asked for."""
    hold: int = 3
    """Days for which it waits to be fetched."""


@dataclass(frozen=True, slots=True)
class Policy:
    """What a room has decided about a hazard, with who, when and why."""

    kind: str
    """Kind of finding, or a hazard key."""
    note: str
    by: str
    on: dt.date
    youngest: int | None = None
    """Months of the youngest child on that day; None: no child was known."""


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Room:
    """One room, as everything else computes with it."""

    name: str
    adults: int = USUAL_ADULTS
    children: tuple[Child, ...] = ()
    day: tuple[Block, ...] = ()
    """Empty: one free block, with circle and outdoors at times of their own."""
    prep_windows: tuple[PrepWindow, ...] = ()
    open: tuple[Weekday, ...] = WORKING_WEEK
    closed: frozenset[dt.date] = frozenset()
    centers: tuple[str, ...] = ()
    """Keys in the order one walks the room."""
    rules: str = USUAL_RULES
    languages: tuple[str, ...] = ()
    stock: tuple[StockLine, ...] = ()
    buy: tuple[BuyLine, ...] = ()
    policies: tuple[Policy, ...] = ()
    adults_on: tuple[tuple[dt.date, int], ...] = ()
    """Days with another number of adults."""
    loans: Loans = Loans()
    shelf: str = ""
    """Name of a closet that several rooms share; empty: the stock is the room's own."""
    units: tuple[str, ...] = ()
    """``theme/unit`` of what this room does, where it shares a closet."""
    zone: str = ""
    """Time zone by its name in the IANA database, for calendar files; empty: the reader's own."""
    prep_as_it_took: bool = False
    """Whether prep is planned with the minutes that look-backs noted, where there are any."""
    demo: bool = field(default=False, compare=False)
    """Loaded as an example."""

    def is_open(self, day: dt.date) -> bool:
        """Whether the room is open on a day: an open weekday that is not closed (CAL1)."""
        return WEEKDAYS[day.weekday()] in self.open and day not in self.closed

    def attending(self, day: dt.date) -> tuple[Child, ...]:
        """The children who are there on an open day; none on another."""
        return tuple(c for c in self.children if c.attends(day)) if self.is_open(day) else ()

    def staying(self, day: dt.date) -> tuple[Child, ...]:
        """The children who have not left before a day; those who are still to come are among them."""
        return tuple(c for c in self.children if c.until is None or day <= c.until)

    def adults_at(self, day: dt.date) -> int:
        """The number of adults on a day."""
        return dict(self.adults_on).get(day, self.adults)


def age_in_months(born: tuple[int, int], on: dt.date) -> int:
    """Completed months by calendar month: a child is a month older from the 1st (AGE1)."""
    return (on.year - born[0]) * 12 + on.month - born[1]


def youngest_months(children: Iterable[Child], on: dt.date) -> int | None:
    """The youngest child's age in completed months on a day, not yet born counted as 0; None without any."""
    return min((max(0, age_in_months(child.born, on)) for child in children), default=None)


def rule_age_in_months(born: tuple[int, int], on: dt.date) -> int:
    """The age that under-age rules count: one month less, through the birthday month (AGE1)."""
    return age_in_months(born, on) - 1


def counts_of(room: Room) -> dict[str, object]:
    """What is known of a room in numbers and plain facts; it names no child."""
    return {
        "room": room.name,
        "adults": room.adults,
        "children": len(room.children),
        "centers": list(room.centers),
        "prep_windows": len(room.prep_windows),
        "closed": sorted(day.isoformat() for day in room.closed),
        "stock": len(room.stock),
        "demo": room.demo,
    }
