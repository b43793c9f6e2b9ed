"""Empty lines and fields to write in by hand."""

from __future__ import annotations

from library.paper.blocks import Block, Prose, Row
from library.paper.text import bold


def write_in(label: str, *more: str) -> Block:
    """One or more labels, each with an empty line behind it, high enough for a pen."""
    cells: list[Block] = []
    for name in (label, *more):
        cells += [Prose(bold(name), 10.5, after=0), Prose(" ", 10.5, after=0)]
    shares = tuple(share for _ in (label, *more) for share in (0.3, 0.7))
    return Row(tuple(cells), shares, pad=2.0, weight=0.6)
