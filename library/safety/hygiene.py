"""What is done by hand before and after water, sensory play, dough and sand, with minutes.

The steps follow published standards; they are not part of a card's prep. The minutes are common
practice, no source, for one adult and one table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from library.cards.card import Card
from library.cards.values import Place
from library.materials.material import MaterialBook
from library.room.room import Child
from library.safety.allergens import avoided_by

WATER, SENSORY, DOUGH = "CFOC 6.2.4.2", "CFOC 6.2.4.3", "CFOC 5.2.9.8"
HANDS, EMPTY, TABLES = (
    "CFOC 3.2.2.1",
    "CFOC 6.3.5.2",
    "CFOC 3.3.0.2 and Appendix K",
)

APART = frozenset({"wheat", "gluten", "latex"})
"""Allergens for which a child has dough of their own (CFOC 5.2.9.8)."""


class Moment(StrEnum):
    """When a step is done."""

    SET_UP = "set up"
    DURING = "during"
    BETWEEN = "between groups"
    PACK_AWAY = "pack away"


@dataclass(frozen=True, slots=True)
class HygieneStep:
    """One step, on each day it stands."""

    do: str
    minutes: int
    """Of an adult's hands-on time; 0 where it is something to keep in mind."""
    at: Moment
    source: str


@dataclass(frozen=True, slots=True)
class Around:
    """The steps of one moment of a day at a center."""

    at: Moment
    steps: tuple[HygieneStep, ...]

    @property
    def minutes(self) -> int:
        """Of an adult's hands-on time, in all."""
        return sum(step.minutes for step in self.steps)

    @property
    def hands_on(self) -> Around:
        """The same moment without what only has to be kept in mind."""
        return Around(self.at, tuple(step for step in self.steps if step.minutes))


def around_play(
    card: Card | None, center: str, materials: MaterialBook, *, children: int = 0
) -> tuple[Around, ...]:
    """The steps of one day at a center, moment by moment, for so many children in turn.

    It names no child, so that it may be shown to anyone. None where nothing is asked for.

    Args:
        card: The card as the children meet it; None where a center stands by itself.
        center: Where it stands.
        materials: What its materials are called.
        children: How many come that day.
    """
    groups = groups_for(card, children) if card else 1
    steps = hygiene_steps(card, center, materials, groups=groups)
    there = ((moment, tuple(s for s in steps if s.at is moment)) for moment in Moment)
    return tuple(Around(moment, those) for moment, those in there if those)


def hygiene_steps(
    card: Card | None,
    center: str,
    materials: MaterialBook,
    *,
    groups: int = 1,
    children: Sequence[Child] = (),
) -> tuple[HygieneStep, ...]:
    """The steps of one day at a center, in the order in which they are done.

    Args:
        card: The card as the children meet it; None where a center stands by itself.
        center: Where it stands.
        materials: What its materials are called.
        groups: How many groups of children come one after another.
        children: Who attends, for those who need a portion of their own.
    """
    lines = card.materials if card else ()
    names = {materials.main_name(line.item).casefold() for line in lines}
    steps: list[HygieneStep] = []
    if center == "water" or (center == "sensory" and "water" in names):
        steps += _water(groups)
    elif center == "sensory":
        steps += _sensory(has_sand=any(name.split()[-1:] == ["sand"] for name in names))
    if center == "dough":
        steps += _dough(children)
    if center == "outdoors" or (card and card.place is Place.OUTDOORS):
        steps.append(_wash(Moment.PACK_AWAY, "after coming in"))
    order = list(Moment)
    return tuple(sorted(dict.fromkeys(steps), key=lambda step: order.index(step.at)))


def groups_for(card: Card, children: int) -> int:
    """How many groups come one after another, so that each child has a turn; at least 1."""
    return max(1, math.ceil(children / card.group.high)) if card.group else 1


def _wash(at: Moment, when: str) -> HygieneStep:
    return HygieneStep(f"Wash all hands with soap for 20 seconds {when}", 4, at, HANDS)


def _water(groups: int) -> Iterator[HygieneStep]:
    def step(do: str, minutes: int, at: Moment, source: str = WATER) -> HygieneStep:
        return HygieneStep(do, minutes, at, source)

    yield step("Look at hands: a child with an open cut or sore plays elsewhere", 1, Moment.SET_UP)
    yield step("Leave the water table closed while an illness goes round", 0, Moment.SET_UP)
    yield step("Lay a mat that does not slip, so that the floor stays dry", 1, Moment.SET_UP)
    yield step(
        "Fill with fresh drinking water just before the group, as shallow as the play allows",
        3,
        Moment.SET_UP,
    )
    yield _wash(Moment.SET_UP, "before the water")
    yield step("Stay within reach the whole time; nobody drinks the water", 0, Moment.DURING)
    yield step("Wipe up water from the floor as it falls", 0, Moment.DURING)
    for number in range(2, groups + 1):
        yield step(
            f"For group {number}: empty, clean, disinfect, and fill with fresh water",
            6,
            Moment.BETWEEN,
        )
        yield _wash(Moment.BETWEEN, f"before and after, group {number}")
    yield step("Empty the water at once; none stands filled", 2, Moment.PACK_AWAY, EMPTY)
    yield step("Clean and disinfect the tub and the tools; let them air-dry", 5, Moment.PACK_AWAY)
    yield step("Dry the floor", 1, Moment.PACK_AWAY)
    yield _wash(Moment.PACK_AWAY, "after the water")


def _sensory(*, has_sand: bool) -> Iterator[HygieneStep]:
    def step(do: str, minutes: int, at: Moment, source: str = SENSORY) -> HygieneStep:
        return HygieneStep(do, minutes, at, source)

    yield step("Look through what is in the table and take out all that is small", 2, Moment.SET_UP)
    if not has_sand:
        yield step(
            "Under three the published standard names only water, sand and fixed plastic things "
            "for this table; the licence decides about all else",
            0,
            Moment.SET_UP,
        )
        yield _wash(Moment.SET_UP, "before the sensory table")
    yield step("Stay beside the table; nothing goes into a mouth", 0, Moment.DURING)
    yield step("Take out what was mouthed or sneezed on", 1, Moment.PACK_AWAY, TABLES)
    yield step("Clean the table and the tools", 4, Moment.PACK_AWAY, TABLES)
    yield _wash(Moment.PACK_AWAY, "after the sensory table")


def _dough(children: Sequence[Child]) -> Iterator[HygieneStep]:
    def step(do: str, minutes: int, at: Moment) -> HygieneStep:
        return HygieneStep(do, minutes, at, DOUGH)

    yield step(
        "Read the date on the tub: home-made dough is made anew each week, kept airtight and "
        "labelled; bought dough stays in its own tub",
        1,
        Moment.SET_UP,
    )
    yield step("Clean and sanitize table and tools", 3, Moment.SET_UP)
    for child in children:
        if not APART.isdisjoint(avoided_by([child])):
            yield step(
                f"Put out the portion of {child.label}, without the allergen, kept apart and "
                "labelled",
                1,
                Moment.SET_UP,
            )
    yield step(
        "A child with a cut or a cold has a portion of their own, stored apart; what one child "
        "must not meet is in nobody's dough",
        0,
        Moment.SET_UP,
    )
    yield _wash(Moment.SET_UP, "before the dough")
    yield step("Throw out dough that was mouthed, sneezed on or dropped", 0, Moment.DURING)
    yield _wash(Moment.PACK_AWAY, "after the dough")
    yield step("Clean and sanitize table and tools", 3, Moment.PACK_AWAY)
