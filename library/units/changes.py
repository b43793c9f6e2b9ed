"""What changed between versions: of one file, or of the cards of a unit since a day."""

from __future__ import annotations

import datetime as dt
import difflib
import posixpath
from collections.abc import Collection

from library.cards.card import Card
from library.cards.comparing import compare_cards, in_words
from library.cards.folder import CardFolder
from library.cards.parsing import parse_card
from library.history.versions import History
from library.units.comparing import compare_themes, compare_units
from library.units.parsing import parse_theme, parse_unit


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
    old = cards_as_of(day, card_ids, history)
    if old is None:
        return None
    found = {}
    for card_id, before in old.items():
        after = cards.card(card_id)
        if after and (changes := compare_cards(before, after)):
            found[card_id] = in_words(changes)
    return found


def cards_as_of(
    day: dt.date, card_ids: Collection[str], history: History
) -> dict[str, Card] | None:
    """Some cards by id as they were at the end of a day; None where the history is younger.

    Args:
        day: A local day.
        card_ids: The cards that are asked for; one that was not there, or held no card, is left out.
        history: Their versions.
    """
    wanted = {f"{card_id}.md" for card_id in card_ids}
    old = history.as_of(
        day, lambda f: f.startswith("activities/") and posixpath.basename(f) in wanted
    )
    if old is None:
        return None
    read = (
        parse_card(content.decode("utf-8", "replace"), file).card for file, content in old.items()
    )
    return {card.id: card for card in read if card}


def change_in_words(file: str, before: bytes | None, after: bytes | None) -> tuple[str, ...]:
    """What changed in a file between two of its versions, one phrase each.

    Cards, units and themes are compared by what they say; of any other file, or one that cannot be
    read, the lines that came and went are counted.

    Args:
        file: Path within the library folder.
        before: Bytes of the earlier version; None: it was not there.
        after: Bytes of the later version; None: it was removed.
    """
    if before is None or after is None:
        return ("added" if before is None else "removed",)
    old, new = (content.decode("utf-8", "replace") for content in (before, after))
    if before == after:
        return ()
    said = _compared(file, old, new)
    if said is None:
        return (_counted(old, new),)
    return said or ("only the layout of the file",)


def _compared(file: str, old: str, new: str) -> tuple[str, ...] | None:
    """The differences in words; None where the two cannot be read as the same kind of thing."""
    top, *inner = file.split("/")
    if top == "activities" and file.endswith(".md"):
        before, after = parse_card(old, file).card, parse_card(new, file).card
        return compare_cards(before, after) if before and after else None
    if top != "themes" or len(inner) != 2 or not file.endswith(".md"):
        return None
    theme, name = inner[0], inner[1].removesuffix(".md")
    if name == "theme":
        return compare_themes(parse_theme(old, theme), parse_theme(new, theme))
    one, two = parse_unit(old, theme, name).unit, parse_unit(new, theme, name).unit
    return compare_units(one, two) if one and two else None


def _counted(old: str, new: str) -> str:
    lines = list(difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0))[2:]
    came = sum(line.startswith("+") for line in lines)
    went = sum(line.startswith("-") for line in lines)
    return f"{came} lines added, {went} lines removed"
