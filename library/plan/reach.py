"""Where an adult sits within arm's reach, whatever the card says: beside standing water."""

from __future__ import annotations

from library.plan.unitplan import UnitPlan
from library.safety.case import case_of_placement
from library.safety.listed import TUBS, check_water
from library.units.placed import Placed
from library.units.together import within_reach

BESIDE_WATER = "Beside water an adult is within arm's reach, whatever the card says"
"""Said wherever a card asks for less; CFOC 6.2.4.2 and 6.3.5.2."""


def has_standing_water(plan: UnitPlan, placed: Placed) -> bool:
    """Whether children play at an open tub of water there.

    Source: CFOC 6.2.4.2 and 6.3.5.2: 1 to 2 in of water are enough to drown in.
    """
    if placed.card is None or placed.center not in TUBS:
        return False
    return any(check_water(case_of_placement(placed, plan.room, plan.materials)))


def wants_reach(plan: UnitPlan, placed: Placed) -> bool:
    """Whether an adult sits there within arm's reach: the card asks for it, or water stands there.

    What is counted at once for a whole unit goes by the cards alone (FIND2, FIND14); this is for who
    decides what stays open on a day, and for what is told at the tray.
    """
    return within_reach(placed) or has_standing_water(plan, placed)


def only_in_sight(plan: UnitPlan) -> tuple[Placed, ...]:
    """Placements at standing water whose card has the adult within sight only."""
    return tuple(
        each
        for each in plan.placed
        if each.days and not within_reach(each) and has_standing_water(plan, each)
    )
