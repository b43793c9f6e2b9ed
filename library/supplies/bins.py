"""The closet bin by bin: what lies there, what is out, and what a unit takes of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from library.materials.amounts import show_number
from library.materials.material import MaterialBook
from library.room.room import Room, StockLine
from library.supplies.lines import Supplies, SupplyLine
from library.supplies.needs import SHARED


@dataclass(frozen=True, slots=True)
class Kept:
    """One line of stock in the closet."""

    room: str
    """Name of the room whose list has it."""
    stock: StockLine
    line: SupplyLine | None
    """What the unit needs of it; None: nothing."""
    consumable: bool
    """Whether it is used up rather than broken."""

    @property
    def usual(self) -> str:
        """What one would take out for the unit, at most what lies there; 1 where it needs none.

        In the measure of the stock, without it.
        """
        there = self.stock.shelved.number
        wanted = Fraction(1)
        if self.line and self.line.need.measure == self.stock.amount.measure:
            wanted = max(self.line.need.number - self.stock.out, Fraction(0)) or self.stock.out
        return show_number(min(wanted, there) or min(Fraction(1), wanted))


@dataclass(frozen=True, slots=True)
class Bin:
    """One bin."""

    name: str
    """Empty: no bin is noted."""
    taken: tuple[Kept, ...]
    """What the unit takes from it, in the order of its placements."""
    other: tuple[Kept, ...]
    """What else lies there."""


@dataclass(frozen=True, slots=True)
class Walk:
    """The whole closet."""

    bins: tuple[Bin, ...]
    """By name, those from which the unit takes something first; without a bin last."""
    nowhere: tuple[SupplyLine, ...]
    """What the unit needs, somebody has to fetch, and no list has."""


def walk(supplies: Supplies, rooms: Sequence[Room], book: MaterialBook) -> Walk:
    """The closet as one walks past it.

    Args:
        supplies: What the unit needs.
        rooms: The room, then those that share its closet.
        book: What materials are called.
    """
    lines = {line.item.casefold(): line for line in supplies.lines}
    order = {item: number for number, item in enumerate(lines)}
    bins: dict[str, list[Kept]] = {}
    seen = set()
    for room in rooms:
        for stock in room.stock:
            item = book.main_name(stock.item).casefold()
            seen.add(item)
            material = book.find(stock.item)
            consumable = material is None or material.kind not in SHARED
            kept = Kept(room.name, stock, lines.get(item), consumable)
            bins.setdefault(stock.bin, []).append(kept)
    found = [_bin(name, kept, order) for name, kept in bins.items()]
    found.sort(key=lambda each: (not each.name, not each.taken, each.name))
    nowhere = tuple(line for item, line in lines.items() if item not in seen and line.is_fetched)
    return Walk(tuple(found), nowhere)


def _bin(name: str, kept: Iterable[Kept], order: dict[str, int]) -> Bin:
    lines = list(kept)
    taken = [each for each in lines if each.line]
    taken.sort(key=lambda each: order[each.line.item.casefold()] if each.line else 0)
    return Bin(name, tuple(taken), tuple(each for each in lines if each.line is None))
