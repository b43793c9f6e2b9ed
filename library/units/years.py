"""The years before a unit, and what changed each time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from library.units.comparing import compare_plans
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class Year:
    """An earlier unit, and what the one after it changed."""

    unit: Unit
    changes: tuple[str, ...]
    """What the next one does otherwise, in words."""


def earlier_years(unit: Unit, units: Iterable[Unit]) -> tuple[Year, ...]:
    """The units this one goes back to, one clone after the other, the latest first.

    A unit that was made anew has none; a missing link ends the row.
    """
    known = {each.id: each for each in units}
    found: list[Year] = []
    seen = {unit.id}
    while unit.cloned_from and unit.cloned_from in known and unit.cloned_from not in seen:
        before = known[unit.cloned_from]
        seen.add(before.id)
        found.append(Year(before, compare_plans(before, unit)))
        unit = before
    return tuple(found)


def later_years(unit: Unit, units: Iterable[Unit]) -> tuple[Unit, ...]:
    """The units that were cloned from one, the earliest first."""
    made = (each for each in units if each.cloned_from == unit.id and each.id != unit.id)
    return tuple(sorted(made, key=lambda each: each.starts))
