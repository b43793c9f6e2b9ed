"""What could take the place of a card that is no longer there."""

from __future__ import annotations

import datetime as dt
import posixpath
from dataclasses import dataclass

from library.cards.card import Card
from library.cards.parsing import parse_card
from library.history.versions import History
from library.search.conditions import Conditions
from library.search.searching import search
from library.search.similar import Similar, similar_cards
from library.search.view import View

LOOKED_AT = 40
"""Similar cards that are looked at for those of the center."""


@dataclass(frozen=True, slots=True)
class Removed:
    """A card that was removed, as it was last."""

    file: str
    """Path it had within the library folder."""
    version: str
    """The last version that held it."""
    when: dt.datetime
    """When it was removed."""
    card: Card | None
    """None where that version could not be read as a card."""


def removed_card(card_id: str, history: History) -> Removed | None:
    """The last a history knows of a card that is gone; None where it knows nothing."""
    for gone in history.removed():
        stem, ending = posixpath.splitext(posixpath.basename(gone.file))
        if (stem, ending) != (card_id, ".md") or not gone.file.startswith("activities/"):
            continue
        version = history.before(gone)
        if version:
            text = history.read(gone.file, version).decode("utf-8", "replace")
            return Removed(gone.file, version, gone.when, parse_card(text, gone.file).card)
    return None


def stand_ins(
    center: str, card_id: str, card: Card | None, view: View, limit: int = 3
) -> tuple[Similar, ...]:
    """Cards of a center that could stand there instead, the likeliest first.

    Where the old card is known, those that share its technique or materials; then, and where it
    is not, those in which words of its name occur.

    Args:
        center: Key of the center.
        card_id: Id of the card that is gone.
        card: The card as it was last; None where nothing is known.
        view: The cards.
        limit: How many at most.
    """
    here = search(view, Conditions(centers=(center,)), card_id.replace("-", " "), limit=LOOKED_AT)
    there = {hit.card.id for hit in search(view, Conditions(centers=(center,)), limit=10_000).hits}
    alike = similar_cards(card, view, limit=LOOKED_AT) if card else ()
    found = {each.id: each for each in alike if each.id in there}
    for hit in here.hits:
        found.setdefault(hit.card.id, Similar(hit.card.id, hit.card.title, "found by its name"))
    found.pop(card_id, None)
    return tuple(found.values())[:limit]
