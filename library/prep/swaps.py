"""Cards that ask for less prep, for when a step will not fit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable
from itertools import islice

from library.cards.card import Card
from library.cards.values import Status
from library.room.room import Room, age_in_months

MOST_SWAPS = 3


def with_less_prep(
    card: Card,
    center: str,
    cards: Iterable[Card],
    room: Room,
    day: dt.date,
    used: Collection[str],
    *,
    fits: Callable[[Card], bool],
) -> tuple[Card, ...]:
    """Ready cards for the same center and the same hands with fewer minutes ahead, least first.

    Their ages fit every child attending on the day. A card without a technique has no swap.

    Args:
        card: The card whose prep does not fit.
        center: Where it stands.
        cards: All cards of the library.
        room: Who attends.
        day: The first day of its placement.
        used: Ids of cards that are in the unit already.
        fits: What else must be true of a card that is named; asked of few.
    """
    ages = [age_in_months(child.born, day) for child in room.attending(day)]
    technique = card.technique.casefold()
    fewer = [
        other
        for other in cards
        if technique
        and other.technique.casefold() == technique
        and center in other.centers
        and other.status is Status.READY
        and other.id not in used
        and ahead_minutes(other) < ahead_minutes(card)
        and all(other.ages.holds(age) for age in ages)
    ]
    fewer.sort(key=lambda each: (ahead_minutes(each), each.title, each.id))
    return tuple(islice(filter(fits, fewer), MOST_SWAPS))


def ahead_minutes(card: Card) -> int:
    """Minutes of a card's work that is done ahead (PREP18)."""
    return sum(step.minutes for step in card.ahead)
