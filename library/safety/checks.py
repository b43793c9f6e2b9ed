"""The table of cautions. A new check is one function and one line here.

Nothing here says that a thing may be put out: where nothing is found, that is all that is said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from library.cards.card import Card
from library.materials.material import MaterialBook
from library.room.room import Room
from library.safety.adults import check_adults, check_ratio
from library.safety.allergens import check_allergens, check_labels
from library.safety.case import Case, case_of_card, case_of_placement
from library.safety.hazards import checked_on
from library.safety.listed import check_cords, check_food, check_hazards, check_water
from library.safety.pieces import check_balls, check_round_pieces, check_small_parts
from library.units.calendar import open_days
from library.units.findings import Finding, by_level
from library.units.placed import Placed
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class PlacementCheck:
    """One line of the table: a check over one placement."""

    name: str
    """Its own; most are the kind of the findings it gives."""
    looks_at: str
    """What it looks at, for the sentence that says what was looked at."""
    run: Callable[[Case], Iterable[Finding]]
    needs_children: bool = False
    """Whether it can find something only where it is known who attends."""


@dataclass(frozen=True, slots=True)
class RoomCheck:
    """One line of the table: a check over everything that stands in a room."""

    name: str
    looks_at: str
    run: Callable[[Sequence[Placed], Unit, Room], Iterable[Finding]]


class LooksAt(Protocol):
    """A line of any table of checks."""

    @property
    def name(self) -> str:
        """Its own name."""
        ...

    @property
    def looks_at(self) -> str:
        """What it looks at."""
        ...


CHECKS: tuple[PlacementCheck, ...] = (
    PlacementCheck(
        "small-part", "loose pieces against the small-parts cylinder", check_small_parts
    ),
    PlacementCheck("ball", "balls against the small-ball hole", check_balls),
    PlacementCheck("round-piece", "round pieces narrower than 1.75 in", check_round_pieces),
    PlacementCheck("hazard", "materials and words on the published list of hazards", check_hazards),
    PlacementCheck(
        "allergen",
        "stated allergens against the attending children's",
        check_allergens,
        needs_children=True,
    ),
    PlacementCheck("label", "labels that nobody has read", check_labels),
    PlacementCheck("water", "water to play in", check_water),
    PlacementCheck("food", "things to eat", check_food),
    PlacementCheck("cord", "cords of 300 mm and more", check_cords),
)
"""Every check over a placement."""

CARD_CHECKS = tuple(check for check in CHECKS if not check.needs_children)
"""Every check over a card by itself."""

ROOM_CHECKS: tuple[RoomCheck, ...] = (
    RoomCheck(
        "adults",
        "adults within reach at one time",
        lambda placed, _, room: check_adults(placed, room),
    ),
    RoomCheck(
        "ratio",
        "ratio and group size",
        lambda _, unit, room: check_ratio(open_days(unit, room), room),
    ),
)
"""Every check over a whole unit in a room."""

CHILDREN = "your children's allergies: open the card in a unit of your room for that"
NOT_LOOKED_AT = (
    "edges, splinters and how worn or broken a thing is",
    "germs",
    "what a label or an ingredient list says, or what a carton held before",
    "what children bring along",
    "rules of your state and your licence",
)
"""What no check here can see."""


def card_findings(card: Card, materials: MaterialBook) -> tuple[Finding, ...]:
    """What the checks find in a card by itself, judged for the youngest age it names.

    Stops come first, then cautions, then notes.
    """
    case = case_of_card(card, materials)
    return by_level(finding for check in CARD_CHECKS for finding in check.run(case))


def placement_findings(placed: Placed, room: Room, materials: MaterialBook) -> tuple[Finding, ...]:
    """What the checks find in one placement, for the children who attend on its open days.

    A placement without any open day stands nowhere, so nothing is found in it.
    """
    if not placed.days:
        return ()
    case = case_of_placement(placed, room, materials)
    return by_level(finding for check in CHECKS for finding in check.run(case))


def nothing_found(checks: Sequence[LooksAt]) -> str:
    """What is said where none of the checks that ran found anything."""
    looked = [check.looks_at for check in checks]
    who, they = (
        ("This 1 check", "it does")
        if len(looked) == 1
        else (f"These {len(looked)} checks", "they do")
    )
    has_children = any(check.name == "allergen" for check in checks)
    unseen = NOT_LOOKED_AT if has_children else (CHILDREN, *NOT_LOOKED_AT)
    return (
        f"{who} found nothing; {they} not look at {'; '.join(unseen[:-1])}; or {unseen[-1]}. "
        f"That clears nothing: look at what lies there yourself. Looked at: {'; '.join(looked)}."
    )


def caution() -> str:
    """The sentence that stands on every page and staff copy with findings."""
    return (
        f"Published guidance as read on {checked_on()}, in our own words; no legal or medical "
        "advice. Your local licensing rules and the room's own trained staff decide. For rules such as "
        "“under three” a child counts as a month younger than by the calendar, since only the month of "
        "birth is known."
    )
