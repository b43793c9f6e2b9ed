"""What each placement needs of each material, with how the number came about."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from library.cards.card import Card
from library.cards.values import MaterialLine, Refresh
from library.materials.amounts import Amount, Basis, Quantity
from library.materials.material import Kind, Material, MaterialBook
from library.room.room import Room
from library.store.problems import Problem, Unreadable
from library.store.workings import KeptWith
from library.supplies.wording import children_by_day, counted, joined, when_words
from library.units.calendar import weeks_held
from library.units.placed import Placed

FROM_THE_TAP = "water"
"""What nobody buys or carries home."""
SHARED = frozenset({Kind.DURABLE, Kind.BOOK})
"""Kinds that are used again on another day: their need is that of the fullest day (SUP8, SUP9)."""


@dataclass(frozen=True, slots=True)
class Need:
    """What one placement needs of one material."""

    item: str
    """Main name."""
    kind: Kind
    material: Material | None
    """None where materials.yaml does not know it; it then counts as used up (SUP10)."""
    activity: str
    placed: Placed
    quantity: Quantity
    """For the whole placement; for what is shared, on each of its days."""
    how: str
    """``8 children × 2 sheets, week 1``."""
    once: bool
    """Counted once a card, however often it is placed (SUP5)."""
    place: int
    """Which of the card's lines it is, from 0: two lines of one item are two (SUP5)."""

    @property
    def title(self) -> str:
        """What the card is called, in the theme's dress."""
        return self.placed.card.title if self.placed.card else self.activity


@dataclass(frozen=True, slots=True)
class Needs:
    """All needs of a unit."""

    needs: tuple[Need, ...]
    """In the order of the placements and of the cards' lines."""
    problems: tuple[Problem, ...]
    missing: tuple[str, ...]
    """Ids of cards that the unit names and the library lacks; they are left out (FIND7)."""


_NEEDS: KeptWith[tuple[tuple[Need, ...], tuple[Problem, ...]]] = KeptWith()


def needs_of(placed: Iterable[Placed], room: Room, book: MaterialBook) -> Needs:
    """What a unit's placements need.

    Args:
        placed: The placements with dressed cards and open days.
        room: Its children and adults.
        book: Tells names, kinds and weights.
    """
    needs: list[Need] = []
    problems: list[Problem] = []
    missing: list[str] = []
    placed_before: set[str] = set()
    for each in placed:
        if each.is_missing and each.placement.activity:
            missing.append(each.placement.activity)
        card = each.card
        if card is None or not each.days:
            continue
        again = each.placement.standing and card.id in placed_before
        placed_before.add(card.id)
        if not again:
            found, wrong = _NEEDS.of(
                room, (each, book), None, partial(_needs_of_card, card, each, room, book)
            )
            needs += found
            problems += wrong
    unknown = {(problem.file, problem.field): problem for problem in problems}
    return Needs(tuple(needs), tuple(unknown.values()), tuple(dict.fromkeys(missing)))


def _needs_of_card(
    card: Card, placed: Placed, room: Room, book: MaterialBook
) -> tuple[tuple[Need, ...], tuple[Problem, ...]]:
    problems: list[Problem] = []
    needs = tuple(_each_need(card, placed, room, book, problems))
    return needs, tuple(problems)


def _each_need(
    card: Card, placed: Placed, room: Room, book: MaterialBook, problems: list[Problem]
) -> Iterator[Need]:
    for index, line in enumerate(card.materials):
        field = f"materials[{index}]"
        try:
            amount = line.counted()
        except Unreadable as error:
            problems.append(_uncounted(card, line, field, error))
            continue
        material = book.find(line.item)
        if material is None:
            problems.append(_unknown(card, line, field))
        kind = material.kind if material else Kind.CONSUMABLE
        refresh = Refresh.ONCE if kind in SHARED else line.refresh
        count, how = _count(amount, refresh, card, placed, room)
        yield Need(
            item=book.main_name(line.item),
            kind=kind,
            material=material,
            activity=card.id,
            placed=placed,
            quantity=Quantity(amount.quantity.number * count, amount.quantity.measure),
            how=how,
            once=amount.basis is Basis.ALL,
            place=index,
        )


def _uncounted(card: Card, line: MaterialLine, field: str, error: Unreadable) -> Problem:
    problem = f"'{line.amount}' of {line.item} in {card.title} cannot be counted"
    return Problem(card.file, 0, f"{field}.amount", problem, error.fix)


def _unknown(card: Card, line: MaterialLine, field: str) -> Problem:
    return Problem(
        card.file,
        0,
        f"{field}.item",
        f"'{line.item}' of {card.title} is described nowhere, so it counts as used up",
        "describe it on its page under Materials, or use one of its names",
    )


def _count(
    amount: Amount, refresh: Refresh, card: Card, placed: Placed, room: Room
) -> tuple[int, str]:
    """How often a quantity is needed, and why (SUP1–SUP7)."""
    each, when = str(amount.quantity), when_words(placed.placement)
    if amount.basis is Basis.ALL:
        return 1, f"{each} in all"
    if amount.basis is Basis.CHILD and refresh is Refresh.EACH_DAY:
        return _child_days(each, when, placed.days, room)
    count, who = _basis(amount.basis, card, placed, room)
    times, anew = _times(refresh, placed.days)
    portion = f"{who} × {each}" if who else f"{each} for the set-up"
    return count * times, joined((portion, anew, when))


def _basis(basis: Basis, card: Card, placed: Placed, room: Room) -> tuple[int, str]:
    if basis is Basis.CHILD:
        children = len(placed.children(room))
        return children, counted(children, "child", "children")
    if basis is Basis.PLACE:
        places = card.group.high if card.group else 1
        return places, counted(places, "place")
    if basis is Basis.ADULT:
        return room.adults, counted(room.adults, "adult")
    return 1, ""


def _times(refresh: Refresh, days: tuple[dt.date, ...]) -> tuple[int, str]:
    if refresh is Refresh.EACH_DAY:
        return len(days), f"new on each of {counted(len(days), 'day')}"
    if refresh is Refresh.EACH_WEEK:
        weeks = len(weeks_held(days))
        return weeks, f"new in each of {weeks} weeks" if weeks > 1 else ""
    return 1, ""


def _child_days(each: str, when: str, days: tuple[dt.date, ...], room: Room) -> tuple[int, str]:
    """The children of each day, added up, and on which days it is another number (SUP1)."""
    usual, others = children_by_day(days, room)
    who = f"{counted(usual, 'child', 'children')} × {each}"
    days_words = f"new on each of {counted(len(days), 'day')}"
    how = joined((joined((who, days_words, when)), others), "; ")
    return sum(len(room.attending(day)) for day in days), how
