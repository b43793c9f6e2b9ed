"""One line for each material of a unit: need, on hand, to buy, by when, at what cost."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property, partial
from itertools import combinations
from typing import Any

from library.materials.amounts import Quantity
from library.materials.material import MADE, Kind, MaterialBook, Weight
from library.materials.measures import Unlike, add, adds_up, convert
from library.materials.words import dimension, plural
from library.room.room import BuyLine, Room, StockLine
from library.store.problems import Problem
from library.store.workings import KeptWith
from library.supplies.needs import FROM_THE_TAP, SHARED, Need, needs_of
from library.units.calendar import first_morning, open_day_before
from library.units.placed import Placed

DAY_IN_HAND = 1
"""Calendar days between delivery and first use (SUP17)."""


@dataclass(frozen=True, slots=True)
class SupplyLine:
    """What a unit needs of one material. Quantities are exact; rounding happens only in packs (SUP12)."""

    item: str
    kind: Kind
    need: Quantity
    on_hand: Fraction
    """In the measure of the need (SUP11)."""
    buy: Fraction
    packs: int | None
    """None where it is not known how it is bought (SUP14)."""
    cost: Decimal | None
    order_by: dt.date | None
    """None where nothing is bought (SUP15)."""
    activities: tuple[str, ...]
    """Ids of the cards that need it, once each (SUP25)."""
    needs: tuple[Need, ...]
    """What each placement needs of it, in the order of the placements."""
    stock: tuple[StockLine, ...] = ()
    """The lines of the room's stock that count."""
    bought: BuyLine | None = None
    """How the room buys it."""
    first_use: dt.date | None = None
    """The day on which it is first in hand (SUP18)."""
    fullest: dt.date | None = None
    """The day that decides, of what is shared."""

    @property
    def is_shared(self) -> bool:
        """Whether it is used again on another day, so that its fullest day decides."""
        return self.kind in SHARED

    @property
    def is_made(self) -> bool:
        """Whether the team makes it itself, of what else the cards name."""
        material = self.needs[0].material if self.needs else None
        return material is not None and material.origin == MADE

    @property
    def is_fetched(self) -> bool:
        """Whether somebody has to get it: not what comes from the tap, nor what the team makes."""
        return self.item != FROM_THE_TAP and not self.is_made

    @property
    def short(self) -> Quantity:
        """What is missing, in the measure of the need."""
        return Quantity(self.buy, self.need.measure)

    @property
    def bins(self) -> tuple[str, ...]:
        """Where it lies, once each."""
        return tuple(dict.fromkeys(line.bin for line in self.stock if line.bin))

    @property
    def how(self) -> tuple[str, ...]:
        """How the need came about, a phrase a placement."""
        return tuple(f"{each.activity}: {each.how}" for each in self.needs)

    def as_json(self) -> dict[str, Any]:
        """The line with the keys of ``unit supplies --json``; nothing is rounded (SUP28)."""
        return {
            "item": self.item,
            "kind": self.kind.value,
            "need": plain(self.need.number),
            "measure": self.need.measure,
            "on_hand": plain(self.on_hand),
            "buy": plain(self.buy),
            "packs": self.packs,
            "cost": None if self.cost is None else float(self.cost),
            "order_by": self.order_by.isoformat() if self.order_by else None,
            "for": list(self.activities),
            "how": list(self.how),
        }


@dataclass(frozen=True, slots=True)
class Supplies:
    """Everything a unit needs."""

    unit: str
    lines: tuple[SupplyLine, ...]
    """In the order of first mention (SUP25)."""
    unpriced: tuple[str, ...]
    missing: tuple[str, ...]
    problems: tuple[Problem, ...]
    cannot_add: tuple[Problem, ...] = ()
    """Materials whose amounts do not add up; then nothing else counts (SUP22)."""

    @property
    def short(self) -> tuple[SupplyLine, ...]:
        """What is not there and has to be fetched, in the order of the lines."""
        return tuple(line for line in self.lines if line.buy and line.is_fetched)

    @property
    def total_cost(self) -> Decimal:
        """The sum of the known costs (SUP23)."""
        return sum((line.cost for line in self.lines if line.cost is not None), Decimal("0.00"))

    @property
    def needs_a_person(self) -> bool:
        """Whether amounts cannot be added, a card is missing or a file has a problem."""
        return bool(self.cannot_add or self.missing or self.problems)

    def as_json(self) -> dict[str, Any]:
        """The object of ``unit supplies --json``."""
        if self.cannot_add:
            return {"unit": self.unit, "problems": [each.as_json() for each in self.cannot_add]}
        return {
            "unit": self.unit,
            "lines": [line.as_json() for line in self.lines],
            "total_cost": float(self.total_cost),
            "unpriced": list(self.unpriced),
            "missing": list(self.missing),
            "problems": [each.as_json() for each in self.problems],
        }


def supplies_of(unit_id: str, placed: Sequence[Placed], room: Room, book: MaterialBook) -> Supplies:
    """Adds up what a unit needs and holds it against the room's stock.

    need = quantity × count × refreshes; what is used up adds over placements, what is shared is the
    largest sum over any one day. buy = max(0, need − stock); packs = ⌈buy / pack⌉; cost = packs × price.

    Args:
        unit_id: ``theme/unit``.
        placed: Its placements with dressed cards and open days.
        room: Children, adults, stock, and how things are bought.
        book: What materials are like.
    """
    found = needs_of(placed, room, book)
    by_item: dict[str, list[Need]] = {}
    for need in found.needs:
        by_item.setdefault(need.item.casefold(), []).append(need)
    there = _There(room, book)
    added = [
        _ADDED.of(room, (book, *needs), None, partial(_add_up, needs, there))
        for needs in by_item.values()
    ]
    lines = tuple(each.line for each in added if each.line)
    return Supplies(
        unit=unit_id,
        lines=lines,
        unpriced=tuple(line.item for line in lines if line.cost is None),
        missing=found.missing,
        problems=(*found.problems, *(problem for each in added for problem in each.problems)),
        cannot_add=tuple(each.clash for each in added if each.clash),
    )


@dataclass(frozen=True, slots=True)
class _Added:
    """All needs of one material, added up."""

    line: SupplyLine | None
    clash: Problem | None
    """Why they cannot be added; then there is no line."""
    problems: tuple[Problem, ...]


_ADDED: KeptWith[_Added] = KeptWith()


def _add_up(needs: list[Need], there: _There) -> _Added:
    weight = weight_of(needs)
    clash = _clash(needs, weight)
    if clash is not None:
        return _Added(None, clash, ())
    problems: list[Problem] = []
    line = _line(needs, weight, there, problems)
    return _Added(line, None, tuple(problems))


def first_use(placed: Placed, room: Room) -> dt.date | None:
    """The day on which a placement's materials are first in hand (SUP18).

    Its first open day; or, if its card has work ahead, the last open day before the first morning
    less the wait. None where it never stands.
    """
    if placed.card is None or placed.first_day is None:
        return None
    if not placed.card.ahead:
        return placed.first_day
    wait = placed.card.wait.minutes if placed.card.wait else 0
    moment = first_morning(placed.first_day, room) - dt.timedelta(minutes=wait)
    return open_day_before(room, moment) or placed.first_day


def order_day(use: dt.date, delivery_days: int, room: Room) -> dt.date:
    """The day by which to order, counted back from the first use (SUP17).

    One day in hand, the delivery and the day of ordering come before it, in calendar days; then the
    nearest open day before.
    """
    day = use - dt.timedelta(days=1 + delivery_days + DAY_IN_HAND)
    for _ in range(400):
        if room.is_open(day):
            return day
        day -= dt.timedelta(days=1)
    return day


@dataclass(frozen=True)
class _There:
    """What the room says of its shelf and its shops."""

    room: Room
    book: MaterialBook

    @cached_property
    def _stock(self) -> dict[str, list[StockLine]]:
        """The lines of the shelf by the thing they mean."""
        found: dict[str, list[StockLine]] = {}
        for line in self.room.stock:
            found.setdefault(self._key(line.item), []).append(line)
        return found

    @cached_property
    def _buys(self) -> dict[str, BuyLine]:
        """The first line of the shops for each thing."""
        return {self._key(line.item): line for line in reversed(self.room.buy)}

    def stock(
        self, first: Need, measure: str, weight: Weight | None, problems: list[Problem]
    ) -> tuple[StockLine, ...]:
        """The lines of stock that can be counted in a measure; the others are named (SUP16)."""
        lines = self._stock.get(first.item.casefold(), [])
        fit = [each for each in lines if _fits(each.amount, measure, weight)]
        for line in lines:
            if line not in fit:
                problems.append(_odd_stock(first, line.amount))
        return tuple(fit)

    def bought(
        self, first: Need, measure: str, weight: Weight | None, problems: list[Problem]
    ) -> BuyLine | None:
        """How it is bought; a pack that cannot be counted in a measure is named and left out."""
        line = self._buys.get(first.item.casefold())
        if line is None or line.pack is None or _fits(line.pack, measure, weight):
            return line
        problems.append(_odd_pack(first, line.pack))
        return replace(line, pack=None, price=None)

    def _key(self, name: str) -> str:
        return self.book.main_name(name).casefold()


def _odd_stock(first: Need, there: Quantity) -> Problem:
    """Something on the shelf that cannot be counted as the cards count it."""
    found = f"but the shelf has {there}, so it is not counted"
    return _odd(first, there, found, f"note it in {_many(first.quantity)} on the shelf list")


def _odd_pack(first: Need, pack: Quantity) -> Problem:
    """A pack that cannot be counted as the cards count it."""
    found = f"but a pack holds {pack}, so its packs are not counted"
    return _odd(first, pack, found, f"note the pack in {_many(first.quantity)} where it is bought")


def _odd(first: Need, there: Quantity, found: str, note: str) -> Problem:
    bridge = _bridge(first.quantity, there)
    measure = f"measure how many {_many(first.quantity)} a {there.measure or 'piece'} holds"
    return Problem(
        "room",
        0,
        first.item,
        f"{first.item}: {first.title} takes {first.quantity}, {found}",
        f"{note}, or {bridge}" if bridge else f"{measure}, and {note}",
    )


def weight_of(needs: Sequence[Need]) -> Weight | None:
    """What a measure of the material weighs, where that is known."""
    return needs[0].material.weight if needs[0].material else None


def _line(
    needs: list[Need], weight: Weight | None, there: _There, problems: list[Problem]
) -> SupplyLine:
    first = needs[0]
    fullest = None
    if first.kind in SHARED:
        need, fullest = _shared(needs, weight)
    else:
        need = used_up(needs, weight)
    stock = there.stock(first, need.measure, weight, problems)
    on_hand = sum(
        (convert(line.amount, need.measure, weight).number for line in stock), Fraction(0)
    )
    buy = max(Fraction(0), need.number - on_hand)
    bought = there.bought(first, need.measure, weight, problems)
    packs, cost = _packs(Quantity(buy, need.measure), bought, weight)
    uses = [day for each in needs if (day := first_use(each.placed, there.room))]
    use = min(uses, default=None)
    delivery = bought.delivery_days if bought else 0
    return SupplyLine(
        item=first.item,
        kind=first.kind,
        need=need,
        on_hand=on_hand,
        buy=buy,
        packs=packs,
        cost=cost,
        order_by=order_day(use, delivery, there.room) if buy and use else None,
        activities=tuple(dict.fromkeys(each.activity for each in needs)),
        needs=tuple(needs),
        stock=stock,
        bought=bought,
        first_use=use,
        fullest=fullest,
    )


def used_up(needs: Iterable[Need], weight: Weight | None) -> Quantity:
    """Everything added; a line ``in all`` once a card (SUP4, SUP5)."""
    return add(_once_a_card(needs), weight)


def _shared(needs: Sequence[Need], weight: Weight | None) -> tuple[Quantity, dt.date | None]:
    """The largest sum over any one day and the first such day (SUP9), in the measure of all (SUP11)."""
    measure = add((each.quantity for each in needs), weight).measure
    sums = {
        day: convert(used_up(on_day(needs, day), weight), measure, weight).number
        for day in days_unlike(needs)
    }
    fullest = max(sums, key=lambda day: sums[day], default=None)
    return Quantity(sums[fullest] if fullest else Fraction(0), measure), fullest


def days_unlike(needs: Sequence[Need]) -> list[dt.date]:
    """The days on which anything stands, in order; of days with the same needs only the first."""
    first: dict[tuple[int, ...], dt.date] = {}
    for day in sorted({day for each in needs for day in each.placed.days}):
        standing = tuple(place for place, each in enumerate(needs) if day in each.placed.days)
        first.setdefault(standing, day)
    return list(first.values())


def on_day(needs: Iterable[Need], day: dt.date) -> tuple[Need, ...]:
    """The needs of the placements that stand on a day."""
    return tuple(each for each in needs if day in each.placed.days)


def _once_a_card(needs: Iterable[Need]) -> list[Quantity]:
    """Of a card's line ``in all`` one quantity, however often the card is placed (SUP5)."""
    counted: set[tuple[str, int]] = set()
    quantities = []
    for each in needs:
        line = (each.activity, each.place)
        if not each.once or line not in counted:
            quantities.append(each.quantity)
        if each.once:
            counted.add(line)
    return quantities


def _packs(
    buy: Quantity, bought: BuyLine | None, weight: Weight | None
) -> tuple[int | None, Decimal | None]:
    """Packs and their cost; nothing to buy costs nothing (SUP13-SUP15, SUP26).

    A pack without a price still tells how many to get; a price without a pack is for one of the
    measure (SUP14).
    """
    if not buy.number:
        return 0, Decimal("0.00")
    if bought is None or (bought.pack is None and bought.price is None):
        return None, None
    pack = convert(bought.pack, buy.measure, weight).number if bought.pack else Fraction(1)
    packs = math.ceil(buy.number / pack)
    if bought.price is None:
        return packs, None
    return packs, (bought.price * packs).quantize(Decimal("0.01"))


def _fits(amount: Quantity, measure: str, weight: Weight | None) -> bool:
    """Whether an amount can be counted in a measure."""
    try:
        convert(amount, measure, weight)
    except Unlike:
        return False
    return True


def _clash(needs: Sequence[Need], weight: Weight | None) -> Problem | None:
    """The first two amounts of one material that do not add up, with both cards (SUP22)."""
    pairs = combinations(needs, 2)
    both = next((p for p in pairs if not adds_up(p[0].quantity, p[1].quantity, weight)), None)
    if both is None:
        return None
    first, other = both
    bridge = _bridge(first.quantity, other.quantity)
    return Problem(
        "activities/materials.yaml",
        first.material.line if first.material else 0,
        first.item,
        f"amounts of {first.item} cannot be added: {first.title} ({first.activity}) takes "
        f"{first.quantity}, but {other.title} ({other.activity}) takes {other.quantity}",
        f"use one measure on both cards{f', or {bridge}' if bridge else ''}",
    )


def _bridge(one: Quantity, other: Quantity) -> str:
    """How a weight would help, where one of two amounts is a weight; empty where it would not."""
    weighed = [dimension(each.measure) == "weight" for each in (one, other)]
    if weighed[0] == weighed[1]:
        return ""
    measure = (other if weighed[0] else one).measure or "piece"
    return (
        f"have somebody write down what a {measure} of it weighs "
        f"(in materials.yaml: weight: 185 g per {measure})"
    )


def _many(quantity: Quantity) -> str:
    """A measure in the plural; pieces where it is a bare count."""
    return plural(quantity.measure) or "pieces"


def plain(number: Fraction) -> int | float:
    """A number for JSON: whole numbers whole, others to double precision (SUP28)."""
    return number.numerator if number.denominator == 1 else float(number)
