"""In which parts of the day a placement stands, and what stands at the same time."""

from __future__ import annotations

import datetime as dt

from library.cards.card import Card
from library.cards.values import Place
from library.room.room import Block, BlockKind, Room
from library.units.unit import Placement

WHOLE_DAY = Block("the day", dt.time(8), dt.time(17))
"""The one free block of a room that has named none; its times are no statement."""

_OWN_TIMES: dict[str, BlockKind] = {"circle": "circle", "outdoors": "outdoor"}
"""Centers that have times of their own (FIND2)."""


def block_kind(placement: Placement, card: Card | None) -> BlockKind:
    """The kind of block a placement belongs in by its center, or by a card that goes outdoors."""
    if placement.center in _OWN_TIMES:
        return _OWN_TIMES[placement.center]
    return "outdoor" if card is not None and card.place is Place.OUTDOORS else "free"


def blocks_of(placement: Placement, card: Card | None, room: Room) -> tuple[Block, ...]:
    """The blocks of the day in which a placement stands.

    With ``when`` the blocks of those names. Without, all blocks of the kind that suits its
    center; a meal or a rest never suits by itself. In a room without blocks everything stands in
    one free block, and circle and outdoors in none, since they have times of their own (FIND2).
    A name the room does not have counts as not said, so that nothing drops out of sight.
    """
    kind = block_kind(placement, card)
    if not room.day:
        return (WHOLE_DAY,) if kind == "free" else ()
    wanted = {name.casefold() for name in placement.when}
    named = tuple(block for block in room.day if block.name.casefold() in wanted)
    return named or tuple(block for block in room.day if block.kind == kind)
