"""How many of the children attending an activity's ages fit. Nobody is scored (AGE6)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from library.plan.unitplan import UnitPlan
from library.room.room import Room, age_in_months
from library.units.findings import Finding, Level
from library.units.placed import Placed


@dataclass(frozen=True, slots=True)
class AgeFit:
    """One placement against the children attending on its first open day."""

    center: str
    activity: str
    fit: int
    younger: int
    older: int

    def as_json(self) -> dict[str, str | int]:
        """The entry with the keys of ``unit check --json``."""
        return {
            "center": self.center,
            "activity": self.activity,
            "fit": self.fit,
            "younger": self.younger,
            "older": self.older,
        }


def age_fits(plan: UnitPlan) -> tuple[AgeFit, ...]:
    """One entry for each placement with a card, in their order (AGE3, AGE5).

    A placement that never stands has no children, so its numbers are 0.
    """
    return tuple(fit for each in plan.placed if (fit := age_fit(each, plan.room)) is not None)


def age_fit(placed: Placed, room: Room) -> AgeFit | None:
    """How many children are in range, younger and older; None where there is no card.

    Ages are completed calendar months on the placement's first open day, of the children
    attending then (AGE1, AGE2); both ends of the range fit (AGE4).
    """
    card, activity = placed.card, placed.placement.activity
    if card is None or activity is None:
        return None
    there = room.attending(placed.first_day) if placed.first_day else ()
    ages = [age_in_months(child.born, placed.first_day) for child in there if placed.first_day]
    younger = sum(age < card.ages.low for age in ages)
    fit = sum(card.ages.holds(age) for age in ages)
    return AgeFit(placed.center, activity, fit, younger, len(ages) - fit - younger)


def check_ages(plan: UnitPlan) -> Iterator[Finding]:
    """One finding for each placement with a child out of range: caution if any is younger (AGE3)."""
    for placed in plan.placed:
        fit = age_fit(placed, plan.room)
        if fit is None or placed.card is None or not fit.younger + fit.older:
            continue
        total = fit.fit + fit.younger + fit.older
        yield Finding(
            level=Level.CAUTION if fit.younger else Level.NOTE,
            kind="age",
            text=(
                f"{plan.title_of(placed)} is for {placed.card.ages.in_words()}; on its first day "
                f"{total} attend: {fit.fit} fit, {fit.younger} younger, {fit.older} older"
            ),
            why="the card's ages are what its writers had in mind for its materials and steps",
            source="the card's own ages; common practice, no source",
            fix=_fix(fit),
            center=placed.center,
            activity=fit.activity,
        )


def _fix(fit: AgeFit) -> str:
    if fit.younger:
        return "use what the card says under Easier, have an adult beside, or choose another card"
    return "use what the card says under Harder, or choose another card"
