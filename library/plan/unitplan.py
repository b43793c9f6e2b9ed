"""Everything that is known of one unit in one room, laid out once for all that looks at it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from library.cards.card import Card
from library.frameworks.coverage import Coverage, cover
from library.frameworks.framework import Framework, head_start
from library.materials.material import MaterialBook
from library.plan.prepweeks import PrepWeek, prep_weeks
from library.prep.pinning import PinnedStep
from library.prep.prep import Prep, plan_prep
from library.room.room import Room
from library.safety.case import case_of_placement
from library.safety.checks import CHECKS
from library.store.workings import KeptWith
from library.supplies.lines import Supplies, supplies_of
from library.supplies.sharing import Claim
from library.units.findings import Finding
from library.units.placed import Placed, lay_out, rain_swaps
from library.units.theme import Theme
from library.units.unit import Unit

_LOOKED_AT: KeptWith[tuple[tuple[Finding, ...], ...]] = KeptWith()


@dataclass(frozen=True)
class UnitPlan:
    """A unit with its theme, cards, room and days."""

    unit: Unit
    theme: Theme | None
    cards: Mapping[str, Card]
    """The unit's cards by id, as they stand in their files; a missing one is not there."""
    room: Room
    placed: tuple[Placed, ...]
    """Its placements with dressed cards and open days."""
    swaps: tuple[Placed, ...] = ()
    """Its rain swaps, on the days of what they replace."""
    materials: MaterialBook = field(default_factory=MaterialBook)
    frameworks: tuple[Framework, ...] = ()
    today: dt.date | None = None
    """For what is late by now; nothing else depends on it (CAL7)."""
    claims: tuple[Claim, ...] = ()
    """What other rooms take out of a closet that the room shares with them."""

    pins: tuple[PinnedStep, ...] = ()
    """Steps of prep that somebody has put somewhere."""

    @cached_property
    def looked_at(self) -> tuple[tuple[Placed, tuple[tuple[Finding, ...], ...]], ...]:
        """What stands on any day, rain swaps among it, with what each check over one placement finds.

        Checks in the order of their table.
        """
        standing = (placed for placed in (*self.placed, *self.swaps) if placed.days)
        return tuple((placed, self._look_at(placed)) for placed in standing)

    def _look_at(self, placed: Placed) -> tuple[tuple[Finding, ...], ...]:
        def look() -> tuple[tuple[Finding, ...], ...]:
            case = case_of_placement(placed, self.room, self.materials)
            return tuple(tuple(check.run(case)) for check in CHECKS)

        return _LOOKED_AT.of(self.room, (placed, self.materials), None, look)

    @cached_property
    def coverages(self) -> tuple[Coverage, ...]:
        """Each framework that the unit's cards name a goal of; the first one where they name none."""
        found = [cover(self.unit, self.placed, self.room, each) for each in self.frameworks]
        named = [each for each in found if any(not line.is_gap for line in each.goals)]
        return tuple(named or found[:1])

    @cached_property
    def prep_weeks(self) -> tuple[PrepWeek, ...]:
        """Minutes of prep by week, against the windows before it."""
        return prep_weeks(self.unit, self.placed, self.room)

    @cached_property
    def prep(self) -> Prep:
        """Which step in which window, what is late; worked out once."""
        return plan_prep(self.unit, self.placed, self.room, self.pins)

    @cached_property
    def supplies(self) -> Supplies:
        """What it needs, what is on hand, what to buy; reckoned once."""
        return supplies_of(self.unit.id, self.placed, self.room, self.materials)

    def title_of(self, placed: Placed) -> str:
        """What to call a placement: its card's title in the theme's dress, or the card's id."""
        return placed.card.title if placed.card else placed.placement.activity or placed.center


def plan_unit(
    unit: Unit,
    theme: Theme | None,
    cards: Mapping[str, Card],
    room: Room,
    *,
    materials: MaterialBook | None = None,
    frameworks: tuple[Framework, ...] | None = None,
    today: dt.date | None = None,
    claims: tuple[Claim, ...] = (),
    pins: tuple[PinnedStep, ...] = (),
) -> UnitPlan:
    """Lays a unit out for a room.

    Args:
        unit: The unit.
        theme: The theme that dresses it; None: no theme.
        cards: At least the unit's cards, by id.
        room: The room it is for.
        materials: What things are like; None: nothing is known of them.
        frameworks: Goals to hold it against; None: the shipped framework.
        today: The day on which it is asked, for what should have been ordered by now.
        claims: What other rooms take out of a shared closet.
        pins: Steps of prep that somebody has put somewhere.

    Raises:
        WrongUse: If the unit does not start on a Monday (CAL2).
    """
    return UnitPlan(
        unit=unit,
        theme=theme,
        cards=cards,
        room=room,
        placed=lay_out(unit, theme, cards, room),
        swaps=rain_swaps(unit, theme, cards, room),
        materials=materials if materials is not None else MaterialBook(),
        frameworks=frameworks if frameworks is not None else (head_start(),),
        today=today,
        claims=claims,
        pins=pins,
    )


def cards_named(unit: Unit) -> tuple[str, ...]:
    """Ids of the cards that a unit names, rain swaps included, once each."""
    named = [name for p in unit.placements for name in (p.activity, p.instead) if name]
    return tuple(dict.fromkeys(named))
