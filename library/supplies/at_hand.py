"""What of one card's materials lies where, and what is missing for one day with so many children."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from library.cards.portions import Portion
from library.materials.amounts import Quantity
from library.materials.material import MADE, MaterialBook, name_key
from library.materials.measures import Unlike, convert
from library.room.room import Room, StockLine
from library.supplies.needs import FROM_THE_TAP


@dataclass(frozen=True, slots=True)
class AtHand:
    """One line of a card beside the shelf."""

    portion: Portion
    bins: tuple[str, ...]
    """Where it lies, once each."""
    short: Quantity | None
    """What is missing; None: nothing, or it cannot be counted."""
    uncounted: str
    """What the shelf has in a measure that does not fit; empty otherwise."""


def at_hand(portions: Iterable[Portion], room: Room, book: MaterialBook) -> tuple[AtHand, ...]:
    """Each line of a card with where it lies and what is missing.

    Two lines of one material share what is there. Water comes from the tap, and what
    the team makes is not looked for on the shelf.

    Args:
        portions: The lines with their amounts for one day.
        room: Its stock.
        book: Names, and what things weigh.
    """
    left: dict[str, Fraction] = {}
    return tuple(_at_hand(portion, room, book, left) for portion in portions)


def _at_hand(portion: Portion, room: Room, book: MaterialBook, left: dict[str, Fraction]) -> AtHand:
    """``left`` holds, by name, the part of the stock that earlier lines leave (1: all of it)."""
    name = name_key(book.main_name(portion.line.item))
    lines = [each for each in room.stock if name_key(book.main_name(each.item)) == name]
    bins = tuple(dict.fromkeys(each.bin for each in lines if each.bin))
    material = book.find(portion.line.item)
    is_made = material is not None and material.origin == MADE
    if portion.quantity is None or name == FROM_THE_TAP or is_made:
        return AtHand(portion, bins, None, "")
    try:
        there = sum(
            (
                convert(
                    each.amount, portion.quantity.measure, material.weight if material else None
                ).number
                for each in lines
            ),
            Fraction(0),
        )
    except Unlike:
        return AtHand(portion, bins, None, _listed(lines))
    free = there * left.get(name, Fraction(1))
    taken = min(free, portion.quantity.number)
    if there:
        left[name] = (free - taken) / there
    short = portion.quantity.number - taken
    return AtHand(portion, bins, Quantity(short, portion.quantity.measure) if short else None, "")


def _listed(lines: Iterable[StockLine]) -> str:
    return ", ".join(str(line.amount) for line in lines)
