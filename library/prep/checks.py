"""What prep has to say of a plan: every step that cannot be done in time."""

from __future__ import annotations

from collections.abc import Iterator

from library.prep.prep import Prep
from library.units.findings import Finding, Level


def check_prep(prep: Prep) -> Iterator[Finding]:
    """FIND10: one for each late step, with its activity and the minutes that are missing."""
    for step in prep.late:
        yield Finding(
            level=Level.STOP,
            kind="prep",
            text=f"{step.do}: {step.minutes} minutes cannot be done by the morning of "
            f"{step.ready_for.isoformat()}",
            why=step.why.removesuffix("."),
            source="the card's steps and the room's prep windows",
            fix="drop it, swap it for a card with less prep, start it later, or add a prep window",
            activity=step.activity,
        )
