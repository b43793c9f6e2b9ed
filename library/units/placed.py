"""A unit laid out: each placement with its card as the children meet it and its open days.

Supplies, prep, safety and the plan all count over this, so that a day, a card or a prop is
decided in one place.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.room.room import Block, Child, Room
from library.store.workings import KeptWith
from library.units.blocks import blocks_of
from library.units.calendar import placement_days, require_monday
from library.units.dressing import Dressed, dress
from library.units.theme import Theme
from library.units.unit import Placement, Unit


@dataclass(frozen=True, slots=True)
class Placed:
    """One placement on its days."""

    number: int
    """Place in the unit's list, from 0."""
    placement: Placement
    days: tuple[dt.date, ...]
    """Open days on which it stands, in order."""
    blocks: tuple[Block, ...]
    """Parts of the day in which it stands."""
    dressed: Dressed | None
    """The card in the theme's dress; None where no card is named or the card is missing."""

    @property
    def card(self) -> Card | None:
        """The card as the children meet it."""
        return self.dressed.card if self.dressed else None

    @property
    def center(self) -> str:
        """Key of the center."""
        return self.placement.center

    @property
    def is_missing(self) -> bool:
        """Whether it names a card that the library does not have (FIND7)."""
        return self.placement.activity is not None and self.dressed is None

    @property
    def first_day(self) -> dt.date | None:
        """First open day; None where it never stands (SUP24)."""
        return self.days[0] if self.days else None

    def children(self, room: Room) -> tuple[Child, ...]:
        """The different children attending on any of its open days, in the room's order (SUP1)."""
        days = self.days
        return tuple(c for c in room.children if any(c.attends(day) for day in days))


_PLACED: KeptWith[Placed] = KeptWith()


def lay_out(
    unit: Unit, theme: Theme | None, cards: Mapping[str, Card], room: Room
) -> tuple[Placed, ...]:
    """Lays a unit out on the room's calendar, in the order of its placements.

    Args:
        unit: The unit.
        theme: The theme that dresses it; None: every card in its own dress.
        cards: Cards by id, as they stand in their files.
        room: Its open days and blocks.

    Raises:
        WrongUse: If the unit does not start on a Monday (CAL2).
    """
    require_monday(unit.starts)
    return tuple(
        _place(number, placement, unit, theme, cards, room)
        for number, placement in enumerate(unit.placements)
    )


def rain_swaps(
    unit: Unit, theme: Theme | None, cards: Mapping[str, Card], room: Room
) -> tuple[Placed, ...]:
    """The rain swaps of a unit as placements of their own, on the days of what they replace.

    They are no part of :func:`lay_out`, so that nothing is counted twice.
    """
    swaps = []
    for number, placement in enumerate(unit.placements):
        if placement.instead:
            swap = replace(placement, activity=placement.instead, instead=None)
            swaps.append(_place(number, swap, unit, theme, cards, room))
    return tuple(swaps)


def _place(
    number: int,
    placement: Placement,
    unit: Unit,
    theme: Theme | None,
    cards: Mapping[str, Card],
    room: Room,
) -> Placed:
    card = cards.get(placement.activity) if placement.activity else None
    return _PLACED.of(
        room,
        (card, theme),
        (number, placement.key, unit.starts, unit.weeks),
        lambda: Placed(
            number,
            placement,
            placement_days(placement, unit, room),
            blocks_of(placement, card, room),
            dress(card, theme, placement) if card else None,
        ),
    )
