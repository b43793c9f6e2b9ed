"""QR codes as figures. Only addresses of the room's own server; nothing about children is in them."""

from __future__ import annotations

from library.paper.blocks import Picture
from library.paper.sheet import Step

QUIET = 4
"""Modules of empty edge that a reader needs (ISO/IEC 18004)."""


def code_block(address: str, side: float) -> Picture:
    """A QR code of an address.

    Args:
        address: What it says.
        side: In millimetres, empty edge included.
    """
    return Picture(code_outline(address), side, filled=True)


def code_outline(address: str) -> tuple[Step, ...]:
    """The dark modules of a QR code as filled squares on a drawing of 24 by 24."""
    import segno

    rows = [list(row) for row in segno.make_qr(address, error="m").matrix]
    unit = 24.0 / (len(rows) + 2 * QUIET)
    steps: list[Step] = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            run = 0
            while x + run < len(row) and row[x + run]:
                run += 1
            if run:
                left, top = (QUIET + x) * unit, (QUIET + y) * unit
                right, bottom = left + run * unit, top + unit
                steps += [
                    ("move", (left, top)),
                    ("line", (right, top)),
                    ("line", (right, bottom)),
                    ("line", (left, bottom)),
                    ("close", ()),
                ]
            x += max(run, 1)
    return tuple(steps)
