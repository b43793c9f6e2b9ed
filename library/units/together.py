"""What needs an adult within reach at the same time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from library.cards.values import Adult
from library.room.room import Block
from library.units.placed import Placed


@dataclass(frozen=True, slots=True)
class Together:
    """The placements within reach at the moment when a block of one day begins."""

    day: dt.date
    block: Block
    placed: tuple[Placed, ...]


def within_reach(placed: Placed) -> bool:
    """Whether a placement's card asks for an adult within reach; not stated is within sight (FIND14)."""
    return placed.card is not None and placed.card.adult is Adult.WITHIN_REACH


def at_once(
    placed: Iterable[Placed], day: dt.date, reach: Callable[[Placed], bool] = within_reach
) -> tuple[Together, ...]:
    """The placements within reach that stand at once on a day, block by block (FIND2).

    Blocks that overlap are counted together at the moment when the later one begins, so that no
    two placements are added that never meet. Blocks in which nothing within reach stands are left
    out.

    Args:
        placed: The placements of a unit.
        day: A local date.
        reach: Which placements want an adult within reach; those whose card says so unless said.
    """
    there = [each for each in placed if day in each.days and reach(each)]
    blocks = sorted({b for each in there for b in each.blocks}, key=lambda b: (b.start, b.end))
    found: list[Together] = []
    for block in blocks:
        now = tuple(each for each in there if any(_runs(b, block.start) for b in each.blocks))
        if not any(earlier.placed == now and _same_time(earlier.block, block) for earlier in found):
            found.append(Together(day, block, now))
    return tuple(found)


def adults_for_reach(adults: int) -> int:
    """How many placements within reach some adults can hold: one adult floats (FIND2)."""
    return max(0, adults - 1)


def _runs(block: Block, moment: dt.time) -> bool:
    return block.start <= moment < block.end


def _same_time(one: Block, other: Block) -> bool:
    return one.start == other.start
