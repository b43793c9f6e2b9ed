"""One line for each material of a unit: need, on hand, to buy, by when, at what cost."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from library.materials.amounts import Quantity
from library.materials.material import Kind, MaterialBook, Weight
from library.materials.measures import Unlike, add, adds_up, convert
from library.room.room import BuyLine, Room
from library.store.problems import Problem
from library.supplies.needs import SHARED, Need, needs_of, zero
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
    how: tuple[str, ...]
    """How the need came about, a phrase a placement."""

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
    lines: list[SupplyLine] = []
    cannot_add: list[Problem] = []
    for needs in by_item.values():
        try:
            lines.append(_line(needs, room, book))
        except Unlike:
            cannot_add.append(_cannot_add(needs, room, book))
    unpriced = tuple(line.item for line in lines if line.cost is None)
    return Supplies(
        unit_id, tuple(lines), unpriced, found.missing, found.problems, tuple(cannot_add)
    )


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


def _line(needs: list[Need], room: Room, book: MaterialBook) -> SupplyLine:
    first = needs[0]
    weight = first.material.weight if first.material else None
    need = _shared(needs, weight) if first.kind in SHARED else _used_up(needs, weight)
    stock = [
        line.amount
        for line in room.stock
        if book.main_name(line.item).casefold() == first.item.casefold()
    ]
    on_hand = sum((convert(amount, need.measure, weight).number for amount in stock), Fraction(0))
    buy = max(Fraction(0), need.number - on_hand)
    bought = next(
        (b for b in room.buy if book.main_name(b.item).casefold() == first.item.casefold()), None
    )
    packs, cost = _packs(Quantity(buy, need.measure), bought, weight)
    uses = [day for each in needs if (day := first_use(each.placed, room))]
    delivery = bought.delivery_days if bought else 0
    return SupplyLine(
        item=first.item,
        kind=first.kind,
        need=need,
        on_hand=on_hand,
        buy=buy,
        packs=packs,
        cost=cost,
        order_by=order_day(min(uses), delivery, room) if buy and uses else None,
        activities=tuple(dict.fromkeys(each.activity for each in needs)),
        how=tuple(f"{each.activity}: {each.how}" for each in needs),
    )


def _used_up(needs: Iterable[Need], weight: Weight | None) -> Quantity:
    """Everything added; ``in all`` once a card (SUP4, SUP5)."""
    return add(_once_a_card(needs), weight)


def _shared(needs: Sequence[Need], weight: Weight | None) -> Quantity:
    """The largest sum over any one day (SUP9); also the measure is that of the whole (SUP11)."""
    measure = add((each.quantity for each in needs), weight).measure
    days = sorted({day for each in needs for day in each.placed.days})
    sums = [_used_up([each for each in needs if day in each.placed.days], weight) for day in days]
    in_measure = [convert(each, measure, weight) for each in sums]
    return max(in_measure, key=lambda each: each.number, default=zero(measure))


def _once_a_card(needs: Iterable[Need]) -> list[Quantity]:
    counted: set[str] = set()
    quantities = []
    for each in needs:
        if not each.once or each.activity not in counted:
            quantities.append(each.quantity)
        if each.once:
            counted.add(each.activity)
    return quantities


def _packs(
    buy: Quantity, bought: BuyLine | None, weight: Weight | None
) -> tuple[int | None, Decimal | None]:
    """Packs and their cost; nothing to buy costs nothing (SUP13–SUP15, SUP26)."""
    if not buy.number:
        return 0, Decimal("0.00")
    if bought is None or bought.price is None:
        return None, None
    pack = convert(bought.pack, buy.measure, weight).number if bought.pack else Fraction(1)
    packs = math.ceil(buy.number / pack)
    return packs, (bought.price * packs).quantize(Decimal("0.01"))


def _cannot_add(needs: Sequence[Need], room: Room, book: MaterialBook) -> Problem:
    """Names both cards, or the card and the stock, and the line that would help (SUP16, SUP22)."""
    first = needs[0]
    weight = first.material.weight if first.material else None
    other = next((n for n in needs if not adds_up(first.quantity, n.quantity, weight)), None)
    if other is not None:
        clash = f"{other.activity} takes {other.quantity}"
    else:
        kept = [line.amount for line in room.stock if book.main_name(line.item) == first.item]
        bought = [
            line.pack for line in room.buy if book.main_name(line.item) == first.item and line.pack
        ]
        clash = f"the room counts it as {', '.join(map(str, [*kept, *bought]))}"
    return Problem(
        "activities/materials.yaml",
        first.material.line if first.material else 0,
        first.item,
        f"amounts of '{first.item}' cannot be added: {first.activity} takes {first.quantity}, but {clash}",
        f"add a line such as 'weight: 185 g per cup' to '{first.item}', or use one measure in both",
    )


def plain(number: Fraction) -> int | float:
    """A number for JSON: whole numbers whole, others to double precision (SUP28)."""
    return number.numerator if number.denominator == 1 else float(number)
