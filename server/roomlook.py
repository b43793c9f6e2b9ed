"""What a room's own things and children say to a card in a list: what is on hand, what to look at twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from library.cards.card import Card
from library.materials.material import MaterialBook
from library.plan.stops import stop_words
from library.room.room import Room
from library.safety.checks import placement_findings
from library.search.filters import FROM_THE_TAP
from library.store.workings import KeptWith
from library.units.calendar import open_days_ahead
from library.units.dressing import dress
from library.units.findings import KINDS, Finding, Level
from library.units.placed import Placed
from library.units.unit import Placement

EXPECTED = frozenset({"age", "water", "food"})
FEW = 2
"""Things that are named where no more are missing."""


_FOUND: KeptWith[tuple[Finding, ...]] = KeptWith()


@dataclass(frozen=True, slots=True)
class SecondLook:
    """Why a card wants a second look before it stands in the room."""

    level: Level
    about: tuple[str, ...]
    """Kinds of findings, most pressing first; never whose they are."""


def main_names(stock: Iterable[str], book: MaterialBook) -> frozenset[str]:
    """What is there, each thing under its main name."""
    return frozenset(map(book.main_name, stock))


def on_hand(materials: Sequence[str], there: Collection[str], book: MaterialBook) -> str:
    """How much of what a card takes is on the shelf, in words; empty where nothing is counted at all.

    Args:
        materials: What the card takes.
        there: Main names of what is there.
        book: Which names stand for one thing.
    """
    asked = dict.fromkeys(map(book.main_name, materials))
    missing = [name for name in asked if name not in there and name not in FROM_THE_TAP]
    if not there or not asked:
        return ""
    if not missing:
        return "all of it on hand"
    if len(missing) <= FEW:
        return f"on hand but for {' and '.join(missing)}"
    return f"{len(asked) - len(missing)} of {len(asked)} things on hand"


def second_look(card: Card, room: Room, book: MaterialBook, today: dt.date) -> SecondLook | None:
    """What the checks find in a card at its usual place for the children of the next open week.

    Left out is what every card of its kind brings, so that a mark means something: ages, which the
    list says, and that there is water or food, which the card and the set-up say at length.
    """
    return _looked_at(filter(_is_pressing, _findings(card, room, book, today)))


def stops_here(card: Card, room: Room, book: MaterialBook, today: dt.date) -> str:
    """What stops a card for the children of the next open week, things by rule; empty where nothing does."""
    found = _findings(card, room, book, today)
    return stop_words(each for each in found if each.level is Level.STOP)


def _findings(card: Card, room: Room, book: MaterialBook, today: dt.date) -> tuple[Finding, ...]:
    """What the checks find in a card at its usual place on the open days of a week."""

    def find() -> tuple[Finding, ...]:
        days = open_days_ahead(room, today)
        placed = Placed(0, Placement(card.centers[0], card.id), days, (), dress(card))
        return placement_findings(placed, room, book)

    return _FOUND.of(room, (card, book), today, find)


def _looked_at(findings: Iterable[Finding]) -> SecondLook | None:
    found = tuple(findings)
    if not found:
        return None
    return SecondLook(found[0].level, tuple(dict.fromkeys(map(_kind, found))))


def _is_pressing(finding: Finding) -> bool:
    return finding.level is not Level.NOTE and (finding.kind not in EXPECTED or finding.in_the_card)


def _kind(finding: Finding) -> str:
    if finding.kind == "hazard" and finding.hazard:
        return finding.hazard.replace("-", " ")
    return KINDS.get(finding.kind, finding.kind).lower()
