"""The table of checks over a unit. A new check is one function and one line here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from library.plan.ages import AgeFit, age_fits, check_ages
from library.plan.closures import check_closed
from library.plan.missing import check_missing
from library.plan.unitplan import UnitPlan
from library.plan.variety import check_coverage, check_repeats
from library.store.problems import Problem
from library.units.findings import Finding, Level

_LEVELS = tuple(Level)


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the table."""

    name: str
    looks_at: str
    """What it looks at, for the sentence that says what was looked at and what was not."""
    run: Callable[[UnitPlan], Iterable[Finding]]


CHECKS: tuple[Check, ...] = (
    Check("missing", "cards that are not there", check_missing),
    Check("age", "ages against the children attending on the first day", check_ages),
    Check("closed", "dates and weeks against closed days", check_closed),
    Check("repeat", "the same technique twice in a week", check_repeats),
    Check("coverage", "empty centers and areas without a goal", check_coverage),
)
"""Every check over a unit."""

NOT_LOOKED_AT = (
    "how worn or broken a thing is",
    "what a label or an ingredient list says",
    "rules of your state and your licence",
    "what children bring along",
)
"""What no check here can see."""


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


def by_level(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops first, then cautions, then notes; otherwise in the given order."""
    return tuple(sorted(findings, key=lambda finding: _LEVELS.index(finding.level)))


def check_unit(plan: UnitPlan) -> UnitCheck:
    """Runs every check of the table over a unit."""
    found = by_level(finding for check in CHECKS for finding in check.run(plan))
    return UnitCheck(plan.unit.id, found, age_fits(plan), plan.unit.problems)
