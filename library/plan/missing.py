"""Placements whose card the library does not have."""

from __future__ import annotations

from collections.abc import Iterator

from library.plan.unitplan import UnitPlan
from library.units.findings import Finding, Level


def check_missing(plan: UnitPlan) -> Iterator[Finding]:
    """One stop for each placement or rain swap whose card is missing or cannot be read (FIND7)."""
    for placed in (*plan.placed, *plan.swaps):
        if not placed.is_missing:
            continue
        activity = placed.placement.activity
        yield Finding(
            level=Level.STOP,
            kind="missing",
            text=f"there is no card '{activity}' for {placed.center}",
            why="what is not known can be neither counted, prepared nor looked over",
            source="the activities of this library",
            fix="choose a similar card, bring the card back from the history, or take it out",
            center=placed.center,
            activity=activity,
        )
