"""Fills pages with blocks: a head and a foot on each page, and whatever does not fit on the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from library.paper.blocks import Block, Laid, Stack
from library.paper.sheet import MARGIN, Box, Item, Page, Paper
from library.store.errors import WrongUse

FOOT_HEIGHT = 7.0
"""Kept free above the lower margin for the foot, in millimetres."""

Head = Callable[[int], Block]
"""Number of the page, from 1 → what stands at its top."""
Foot = Callable[[int, int, Box], list[Item]]
"""Number of the page, how many there are, and the strip for it → its items."""


def flow(
    sections: Sequence[Sequence[Block]],
    paper: Paper,
    head: Head,
    foot: Foot,
    *,
    side: float = MARGIN,
) -> tuple[Page, ...]:
    """Lays blocks onto as many pages as they need.

    Args:
        sections: Each begins a new page.
        paper: Of all pages.
        head: Top of each page.
        foot: Bottom of each page.
        side: Empty edge at the left and the right, in millimetres.

    Raises:
        WrongUse: If something that cannot be parted is higher than a page.
    """
    frame = Box(0, 0, paper.width, paper.height).inset(side, MARGIN)
    bodies: list[list[Item]] = []
    for blocks in sections:
        rest: Laid | None = Stack(tuple(blocks)).lay(frame.width)
        while rest is not None:
            items, rest = _fill(rest, frame, head(len(bodies) + 1))
            bodies.append(items)
    strip = Box(frame.x, frame.bottom - FOOT_HEIGHT, frame.width, FOOT_HEIGHT)
    return tuple(
        Page(paper, (*body, *foot(number, len(bodies), strip)))
        for number, body in enumerate(bodies, start=1)
    )


def _fill(rest: Laid, frame: Box, head: Block) -> tuple[list[Item], Laid | None]:
    """The items of one page, and what is left for the next."""
    top = head.lay(frame.width)
    items = top.place(frame.x, frame.y)
    y = frame.y + top.height
    room = frame.bottom - FOOT_HEIGHT - y
    if rest.height <= room + 1e-6:
        return [*items, *rest.place(frame.x, y)], None
    parts = rest.split(room) or rest.split(room, force=True)
    if parts is None:
        raise WrongUse(
            "a title or a note is longer than a whole page, so this sheet cannot be made; shorten it"
        )
    return [*items, *parts[0].place(frame.x, y)], parts[1]
