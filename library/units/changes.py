"""Which cards were edited since a day, by the versions in the data folder."""

from __future__ import annotations

import datetime as dt
import posixpath
from collections.abc import Collection

from library.cards.comparing import compare_cards, in_words
from library.cards.folder import CardFolder
from library.cards.parsing import parse_card
from library.history.versions import History


def edits_since(
    day: dt.date, card_ids: Collection[str], cards: CardFolder, history: History
) -> dict[str, str] | None:
    """What changed in some cards since the end of a day, in words (CLONE10).

    Args:
        day: A local day.
        card_ids: The cards to look at.
        cards: The cards as they are now.
        history: Their versions.

    Returns:
        The change in words by id, for those that say something else now; None where the history
        does not reach back to that day.
    """
    wanted = {f"{card_id}.md" for card_id in card_ids}
    old = history.as_of(
        day, lambda f: f.startswith("activities/") and posixpath.basename(f) in wanted
    )
    if old is None:
        return None
    found = {}
    for file, content in old.items():
        before = parse_card(content.decode("utf-8", "replace"), file).card
        after = cards.card(before.id) if before else None
        if before and after and (changes := compare_cards(before, after)):
            found[before.id] = in_words(changes)
    return found
