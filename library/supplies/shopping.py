"""The shopping list: what the shelf lacks, where to get it and by when, in packs, with what is left."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from operator import attrgetter

from library.materials.amounts import Quantity
from library.materials.material import Kind, MaterialBook
from library.materials.measures import convert
from library.materials.words import STANDARD
from library.supplies.lines import Supplies, SupplyLine, weight_of
from library.supplies.wording import counted

PLACES = {
    "kitchen": "From the kitchen",
    "recycling": "From recycling",
    "outdoors": "From outdoors",
    "printed": "To print",
    "library": "From the public library",
}
"""Where a material comes from (its key ``from``) → a heading; anything else is bought."""
TO_BUY = "To buy"
SMALL = frozenset(("ml", "g", "mm", "cm"))
"""Measures of which nobody buys a part."""


@dataclass(frozen=True, slots=True)
class ToGet:
    """One thing to get."""

    line: SupplyLine
    place: str
    """The shop, or where else it comes from."""
    how_much: str
    amount: Quantity
    """What comes in: whole packs, or the amount that is missing, rounded up."""
    left_over: Quantity
    """What of it this unit does not need."""

    @property
    def is_bought(self) -> bool:
        """Whether it costs money."""
        return self.place not in PLACES.values()


@dataclass(frozen=True, slots=True)
class Shopping:
    """Everything that is missing and has to be fetched."""

    things: tuple[ToGet, ...]
    """What is to be ordered first on top; then by shop."""
    total: Decimal
    """The sum of the known costs (SUP23)."""
    unpriced: tuple[str, ...]
    """Things to buy whose cost is not known."""

    def by_date(
        self, day_of: Callable[[SupplyLine], dt.date | None] = attrgetter("order_by")
    ) -> tuple[tuple[dt.date | None, tuple[ToGet, ...]], ...]:
        """The things by the day on which they are to be ordered, the first day first.

        Args:
            day_of: The day for a line; usually the one that is counted back from its first use.
        """
        found: dict[dt.date | None, list[ToGet]] = {}
        for each in self.things:
            found.setdefault(day_of(each.line), []).append(each)
        days = sorted(found, key=lambda day: day or dt.date.max)
        return tuple((day, tuple(found[day])) for day in days)


def shopping(supplies: Supplies, book: MaterialBook) -> Shopping:
    """What to get for a unit.

    What is printed and what is lent has a list of its own; water comes from the tap, and what the
    team makes is made.
    """
    things = sorted(
        (
            to_get(line, book)
            for line in supplies.lines
            if line.buy > 0 and line.is_fetched and not is_printed(line) and not is_lent(line)
        ),
        key=lambda each: (each.line.order_by or dt.date.max, not each.is_bought, each.place),
    )
    wanted = tuple(things)
    return Shopping(
        wanted,
        sum((each.line.cost for each in wanted if each.line.cost is not None), Decimal("0.00")),
        tuple(each.line.item for each in wanted if each.is_bought and each.line.cost is None),
    )


def to_get(line: SupplyLine, book: MaterialBook) -> ToGet:
    """One missing thing as it is fetched."""
    amount = packed(line)
    left = convert(amount, line.need.measure, weight_of(line.needs)).number - line.buy
    return ToGet(
        line, place_of(line, book), how_much(line), amount, Quantity(left, line.need.measure)
    )


def is_printed(line: SupplyLine) -> bool:
    """Whether a thing is printed, not bought."""
    return line.kind is Kind.PRINTABLE


def is_lent(line: SupplyLine) -> bool:
    """Whether a thing is a book that nobody has noted how to buy."""
    return line.kind is Kind.BOOK and line.bought is None


def place_of(line: SupplyLine, book: MaterialBook) -> str:
    """The shop, or where else a thing comes from."""
    if line.bought and line.bought.shop:
        return line.bought.shop
    material = book.find(line.item)
    return PLACES.get((material and material.origin) or "", TO_BUY)


def order_of_places(places: Iterable[str]) -> list[str]:
    """Places once each: shops first, then what costs nothing, in the order of the table."""
    known = list(PLACES.values())
    return sorted(
        dict.fromkeys(places),
        key=lambda place: (known.index(place) + 1 if place in known else 0, place),
    )


def packed(line: SupplyLine) -> Quantity:
    """What comes in: whole packs where it is known how it is sold, else the amount, rounded up."""
    measure = line.need.measure
    if line.packs and line.bought:
        pack = line.bought.pack or Quantity(Fraction(1), measure)
        return Quantity(pack.number * line.packs, pack.measure)
    return Quantity(rounded_up(line.buy, measure), measure)


def how_much(line: SupplyLine) -> str:
    """What to get: packs where it is known how it is sold, else the amount, rounded up (SUP12)."""
    if line.packs and line.bought and line.bought.pack:
        return f"{counted(line.packs, 'pack')} of {line.bought.pack}"
    return str(packed(line))


def rounded_up(number: Fraction, measure: str) -> Fraction:
    """A number that one can buy: whole for counts and small measures, a quarter for the others."""
    if measure in STANDARD and measure not in SMALL:
        return Fraction(math.ceil(number * 4), 4)
    return Fraction(math.ceil(number))
