"""What a unit leaves out or does twice: centers, goals and techniques."""

from __future__ import annotations

from collections.abc import Iterator

from library.plan.unitplan import UnitPlan
from library.units.calendar import week_of
from library.units.findings import Finding, Level
from library.units.placed import Placed


def empty_centers(plan: UnitPlan) -> tuple[str, ...]:
    """Centers of the room without any placement in the unit, in walking order (FIND6)."""
    filled = {placed.center for placed in plan.placed}
    return tuple(center for center in plan.room.centers if center not in filled)


def check_coverage(plan: UnitPlan) -> Iterator[Finding]:
    """One note for each empty center (FIND6) and for each area without a goal in a week (FIND15)."""
    for center in empty_centers(plan):
        yield Finding(
            level=Level.NOTE,
            kind="coverage",
            text=f"nothing is planned for {center}, and it is not marked as standing",
            why="a center that stays as it is counts as filled once it is marked as standing",
            source="common practice, no source",
            fix="choose an activity for it, or mark it as standing",
            center=center,
        )
    for coverage in plan.coverages:
        for gap in coverage.gaps:
            series = f" ({gap.series})" if gap.series else ""
            yield Finding(
                level=Level.NOTE,
                kind="coverage",
                text=f"no activity of week {gap.week} serves a goal of {gap.area}{series}",
                why="the team wants to see which areas a week leaves out; it is no duty to fill each",
                source=coverage.framework.source or coverage.framework.name,
                fix="add an activity with a goal of this area, or leave it for another week",
            )


def check_repeats(plan: UnitPlan) -> Iterator[Finding]:
    """One note for each technique and week with more than one placement (FIND5).

    Case is ignored; a placement that stands all week counts once; the later placement is named.
    """
    weeks = range(1, plan.unit.weeks + 1)
    for week in weeks:
        by_technique: dict[str, list[Placed]] = {}
        for placed in plan.placed:
            technique = " ".join(placed.card.technique.casefold().split()) if placed.card else ""
            if technique and any(week_of(plan.unit, day) == week for day in placed.days):
                by_technique.setdefault(technique, []).append(placed)
        for technique, group in by_technique.items():
            if len(group) > 1:
                yield _repeat(plan, week, technique, group)


def _repeat(plan: UnitPlan, week: int, technique: str, group: list[Placed]) -> Finding:
    where = ", ".join(f"{plan.title_of(placed)} at {placed.center}" for placed in group)
    return Finding(
        level=Level.NOTE,
        kind="repeat",
        text=f"{technique} stands {len(group)} times in week {week}: {where}",
        why="the same work of the hands at two centers leaves less that is new; it may be meant so",
        source="common practice, no source",
        fix="swap one of them for another technique, or move it to another week",
        center=group[-1].center,
        activity=group[-1].placement.activity,
    )
