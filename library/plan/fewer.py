"""One adult fewer today: what to close or swap, without changing the unit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import islice

from library.cards.card import Card
from library.cards.values import Adult, Status
from library.plan.reach import has_standing_water, wants_reach
from library.plan.stops import stops_instead
from library.plan.unitplan import UnitPlan
from library.room.room import Room, age_in_months
from library.safety.listed import TUBS
from library.units.dressing import dress
from library.units.placed import Placed
from library.units.together import adults_for_reach, at_once, within_reach

MAX_SWAPS = 3


@dataclass(frozen=True, slots=True)
class TooMany:
    """A block of the day with more within reach than the adults left can hold."""

    block: str
    adults: int
    """Adults left on that day."""
    holds: int
    """Placements within reach that they can hold; one of them floats."""
    within_reach: tuple[Placed, ...]
    close: tuple[Placed, ...]
    """Which to close today."""
    swaps: tuple[tuple[Placed, tuple[str, ...]], ...]
    """For each of those, ids of cards within sight that could stand there instead."""
    beside_water: tuple[Placed, ...]
    """Those within reach because of water, though their cards ask for sight only."""


def with_fewer_adults(
    plan: UnitPlan, day: dt.date, adults: int, cards: Iterable[Card]
) -> tuple[TooMany, ...]:
    """Says what to close or swap on a day with fewer adults (FIND2).

    Standing water counts as within reach, whatever its card says (CFOC 6.2.4.2). Those that
    children meet again on most later days are closed first, then those farther along the walk
    through the room. Swaps are ready cards of that center that need an adult only within sight, that
    bring no water, whose ages fit every child attending and on which no stop stands; the least prep
    comes first.

    Args:
        plan: The unit in its room.
        day: The day.
        adults: Adults left on it.
        cards: All cards of the library, for swaps.
    """
    holds = adults_for_reach(adults)
    found = []
    for moment in at_once(plan.placed, day, lambda placed: wants_reach(plan, placed)):
        over = len(moment.placed) - holds
        if over > 0:
            close = tuple(sorted(moment.placed, key=lambda p: _rank(p, plan.room, day))[:over])
            swaps = tuple((placed, _swaps(placed, plan, day, cards)) for placed in close)
            wet = tuple(each for each in moment.placed if not within_reach(each))
            found.append(
                TooMany(moment.block.name, adults, holds, moment.placed, close, swaps, wet)
            )
    return tuple(found)


def _rank(placed: Placed, room: Room, day: dt.date) -> tuple[int, int, int]:
    later = sum(each > day for each in placed.days)
    center = placed.center
    along = room.centers.index(center) if center in room.centers else len(room.centers)
    return -later, -along, -placed.number


def _swaps(placed: Placed, plan: UnitPlan, day: dt.date, cards: Iterable[Card]) -> tuple[str, ...]:
    ages = [age_in_months(child.born, day) for child in plan.room.attending(day)]
    standing = {each.placement.activity for each in plan.placed if day in each.days}
    technique = placed.card.technique if placed.card else ""
    suiting = [
        card
        for card in cards
        if placed.center in card.centers
        and card.adult is Adult.WITHIN_SIGHT
        and card.status is Status.READY
        and card.id not in standing
        and not card.wait
        and all(card.ages.holds(age) for age in ages)
        and not (placed.center in TUBS and _brings_water(card, placed, plan))
    ]
    suiting.sort(key=lambda card: (card.prep_minutes, card.technique != technique, card.title))
    free = (card.id for card in suiting if not stops_instead(plan, placed, card, (day,)))
    return tuple(islice(free, MAX_SWAPS))


def _brings_water(card: Card, placed: Placed, plan: UnitPlan) -> bool:
    """Whether another card would bring water to the center of a placement."""
    return has_standing_water(plan, replace(placed, dressed=dress(card, plan.theme)))
