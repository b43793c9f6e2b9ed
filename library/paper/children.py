"""What staff sheets say of children: by label, for a day or a unit. No posted or family sheet uses it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.paper.job import Job
from library.room.room import Child
from library.safety.allergens import held, not_known, shared_with
from library.units.calendar import open_days
from library.units.placed import Placed


@dataclass(frozen=True, slots=True)
class Meets:
    """A material that holds what a child must not meet, and where it is put out."""

    item: str
    allergens: tuple[str, ...]
    placed: Placed


def attending(job: Job, days: Iterable[dt.date] | None = None) -> tuple[Child, ...]:
    """The children who come on any of some days, in the room's order; None: the unit's open days."""
    asked = tuple(open_days(job.plan.unit, job.room) if days is None else days)
    return tuple(c for c in job.room.children if any(c.attends(day) for day in asked))


def not_known_of(job: Job, child: Child, placed: Iterable[Placed]) -> tuple[str, ...]:
    """The materials of some placements of which nobody knows whether they hold a child's allergens."""
    there = (each for each in placed if each.card and any(map(child.attends, each.days)))
    lines = (line.item for each in there if each.card for line in each.card.materials)
    return not_known(lines, job.plan.materials)


def meets(job: Job, child: Child, placed: Iterable[Placed]) -> tuple[Meets, ...]:
    """The materials of some placements that list an allergen of a child (FIND4).

    Only what ``materials.yaml`` says of a material counts; what a label says can differ.
    """
    found: dict[tuple[str, str], Meets] = {}
    for each in placed:
        if each.card is None or not any(child.attends(day) for day in each.days):
            continue
        for line in each.card.materials:
            material = job.plan.materials.find(line.item)
            stated = held(material.allergens, eu=job.plan.materials.eu) if material else frozenset()
            shared = shared_with(child, stated)
            if material and shared:
                found.setdefault((each.card.id, material.item), Meets(material.item, shared, each))
    return tuple(found.values())
