"""Water that would stand filled before anybody plays in it."""

from __future__ import annotations

from library.cards.card import Card
from library.cards.values import Step, When

NOT_AHEAD = "No filled water stands overnight: fill it in the morning, just before the group."
"""What is said of such a step wherever it would be done; CFOC 6.2.4.2 wants fresh water and empties it."""


def filled_ahead(card: Card, center: str) -> tuple[Step, ...]:
    """Steps marked ahead that fill something with water, other than to freeze it or for a card that waits.

    Source: CFOC 6.2.4.2 (fresh water, emptied after the group); where a step's words begin with
    "fill" is a reading of our own.
    """
    return () if card.wait else tuple(step for step in card.steps if _is_filling(step, center))


def _is_filling(step: Step, center: str) -> bool:
    does = step.do.casefold()
    fills = does.startswith("fill ") and (center == "water" or "water" in does)
    return step.on is When.AHEAD and fills and "freez" not in does
