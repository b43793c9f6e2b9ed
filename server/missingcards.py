"""A placement whose card is gone: what could stand there instead, and the way to bring it back."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from flask import g

from library.plan.replacing import Removed, removed_card, stand_ins
from library.search.similar import Similar
from server.shelf import shelf


@dataclass(frozen=True, slots=True)
class MissingCard:
    """A card that is not there."""

    id: str
    title: str
    """What it was called; its id where nothing is known of it."""
    removed: Removed | None
    """Where it can be brought back from."""
    instead: tuple[Similar, ...]
    """Cards of the center that are like it."""

    @property
    def since(self) -> dt.date | None:
        """The day it was removed."""
        return self.removed.when.date() if self.removed else None


def missing_card(card_id: str, center: str) -> MissingCard:
    """What is known of a card that is gone, and what could take its place at a center."""
    if "missing_cards" not in g:
        g.missing_cards = {}
    known: dict[tuple[str, str], MissingCard] = g.missing_cards
    if (card_id, center) not in known:
        removed = removed_card(card_id, shelf().history)
        card = removed.card if removed else None
        instead = stand_ins(center, card_id, card, shelf().index.view)
        known[card_id, center] = MissingCard(
            card_id, card.title if card else card_id, removed, instead
        )
    return known[card_id, center]
