"""The table of checks over a unit. A new check is one function and one line here."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import count
from typing import Any

from library.plan.ages import AgeFit, age_fits, check_ages
from library.plan.closures import check_closed
from library.plan.missing import check_missing
from library.plan.stops import hold_back
from library.plan.unitplan import UnitPlan
from library.plan.variety import check_coverage, check_repeats
from library.prep.checks import check_prep
from library.safety.checks import CHECKS as PLACEMENT_CHECKS
from library.safety.checks import NOT_LOOKED_AT as NOT_LOOKED_AT
from library.safety.checks import ROOM_CHECKS, PlacementCheck, RoomCheck
from library.store.problems import Problem
from library.supplies.checks import check_durables, check_orders
from library.units.findings import Finding, Level, by_level


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the table."""

    name: str
    looks_at: str
    """What it looks at, for the sentence that says what was looked at and what was not."""
    run: Callable[[UnitPlan], Iterable[Finding]]
    takes_long: bool = False
    """Whether it may take seconds; a page shows the others first."""


def _over_placements(number: int, check: PlacementCheck) -> Check:
    """A check over one placement, run over all that stand, rain swaps among them."""

    def run(plan: UnitPlan) -> Iterator[Finding]:
        for _, found in plan.looked_at:
            yield from found[number]

    return Check(check.name, check.looks_at, run)


def _over_room(check: RoomCheck) -> Check:
    return Check(
        check.name, check.looks_at, lambda plan: check.run(plan.placed, plan.unit, plan.room)
    )


def _durables(plan: UnitPlan) -> Iterator[Finding]:
    return hold_back(check_durables(plan.supplies, plan.claims), plan)


def _orders(plan: UnitPlan) -> Iterator[Finding]:
    return hold_back(check_orders(plan.supplies, plan.today), plan) if plan.today else iter(())


def _prep(plan: UnitPlan) -> Iterator[Finding]:
    """Late steps at the center where the card stands first; nothing where no room is known."""
    centers = {placed.placement.activity: placed.center for placed in reversed(plan.placed)}
    if plan.room.name:
        for finding in check_prep(plan.prep):
            yield replace(finding, center=centers.get(finding.activity))


CHECKS: tuple[Check, ...] = (
    Check("missing", "cards that are not there", check_missing),
    *map(_over_placements, count(), PLACEMENT_CHECKS),
    Check("age", "ages against the children attending on the first day", check_ages),
    *map(_over_room, ROOM_CHECKS),
    Check("durable", "things needed twice on one day against the stock", _durables),
    Check("order", "what should have been ordered by now", _orders),
    Check("closed", "dates and weeks against closed days", check_closed),
    Check("repeat", "the same technique twice in a week", check_repeats),
    Check("coverage", "empty centers and areas without a goal", check_coverage),
    Check("prep", "prep against the time there is for it", _prep, takes_long=True),
)
"""Every check over a unit."""
QUICK_CHECKS = tuple(check for check in CHECKS if not check.takes_long)
SLOW_CHECKS = tuple(check for check in CHECKS if check.takes_long)


@dataclass(frozen=True, slots=True)
class UnitCheck:
    """What the checks found in a unit."""

    unit: str
    """``theme/unit``."""
    findings: tuple[Finding, ...]
    """Stops first, then cautions, then notes; within a level in the order of the table."""
    ages: tuple[AgeFit, ...]
    problems: tuple[Problem, ...] = ()
    """What is wrong with the unit's file."""

    @property
    def has_stop(self) -> bool:
        """Whether something is to be changed before a tray goes out (FIND8)."""
        return any(finding.level is Level.STOP for finding in self.findings)

    def as_json(self) -> dict[str, Any]:
        """The object that ``unit check --json`` prints."""
        return {
            "unit": self.unit,
            "findings": [finding.as_json() for finding in self.findings],
            "ages": [fit.as_json() for fit in self.ages],
            "problems": [problem.as_json() for problem in self.problems],
        }


def check_unit(plan: UnitPlan, checks: Iterable[Check] = CHECKS) -> UnitCheck:
    """Runs the checks of the table over a unit, all unless said."""
    found = by_level(finding for check in checks for finding in check.run(plan))
    return UnitCheck(plan.unit.id, found, age_fits(plan), plan.unit.problems)
