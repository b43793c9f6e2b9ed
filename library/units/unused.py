"""Cards that have stood in no unit for a long time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from library.cards.card import Card
from library.units.calendar import unit_days
from library.units.unit import Unit

LONG = dt.timedelta(days=2 * 365)
"""Two years: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Unused:
    """A card that nobody has set up for long."""

    card: Card
    last: dt.date | None
    """Last day of the last unit it stood in; None: it stood in none."""


def unused_cards(
    cards: Iterable[Card], units: Iterable[Unit], written: Mapping[str, dt.date], today: dt.date
) -> tuple[Unused, ...]:
    """Cards whose last unit ended two years ago or more; of those that never stood, the old ones.

    Args:
        cards: The cards.
        units: Every unit there is; one that is still to come counts as use.
        written: Day on which each card's file last changed; a card that was written less than two
            years ago has had no time to be used.
        today: The day on which it is asked.

    Returns:
        Those that never stood first, then the longest unused.
    """
    last: dict[str, dt.date] = {}
    for unit in units:
        end = unit_days(unit)[-1]
        for placement in unit.placements:
            for card_id in filter(None, (placement.activity, placement.instead)):
                last[card_id] = max(end, last.get(card_id, end))
    found = [
        Unused(card, last.get(card.id))
        for card in cards
        if last.get(card.id, written.get(card.id, today)) <= today - LONG
    ]
    return tuple(sorted(found, key=lambda each: (each.last or dt.date.min, each.card.title)))
