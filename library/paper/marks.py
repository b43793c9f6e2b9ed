"""Marks for cutting: a line across the sheet with scissors, and short strokes at the edges."""

from __future__ import annotations

from library.paper.sheet import LEAST_MARGIN, SOFT, Box, Figure, Item, Paper, Rule, Step

SCISSORS: tuple[Step, ...] = (
    ("move", (22.0, 5.0)),
    ("line", (8.0, 14.5)),
    ("move", (22.0, 19.0)),
    ("line", (8.0, 9.5)),
    ("move", (8.3, 6.8)),
    ("curve", (8.3, 8.8, 6.8, 10.3, 4.8, 10.3)),
    ("curve", (2.8, 10.3, 1.3, 8.8, 1.3, 6.8)),
    ("curve", (1.3, 4.8, 2.8, 3.3, 4.8, 3.3)),
    ("curve", (6.8, 3.3, 8.3, 4.8, 8.3, 6.8)),
    ("move", (8.3, 17.2)),
    ("curve", (8.3, 19.2, 6.8, 20.7, 4.8, 20.7)),
    ("curve", (2.8, 20.7, 1.3, 19.2, 1.3, 17.2)),
    ("curve", (1.3, 15.2, 2.8, 13.7, 4.8, 13.7)),
    ("curve", (6.8, 13.7, 8.3, 15.2, 8.3, 17.2)),
)
"""A pair of scissors that opens to the right."""
_SIDE = 4.0


def cut_across(paper: Paper, y: float) -> list[Item]:
    """A dashed line from edge to edge with scissors at its left."""
    left = LEAST_MARGIN + 0.3
    scissors = Figure(SCISSORS, Box(left, y - _SIDE / 2, _SIDE, _SIDE), weight=0.7, color=SOFT)
    start = left + _SIDE + 0.6
    line = Rule(start, y, paper.width - LEAST_MARGIN - 0.3, y, 0.6, SOFT, (3.0, 3.0))
    return [scissors, line]
