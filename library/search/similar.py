"""Cards that are like another, with why; and cards that may be the same one written twice."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from library.cards.card import Card
from library.materials.material import MaterialBook
from library.search.conditions import Conditions
from library.search.searching import Hit, search
from library.search.view import View

LOOKED_AT = 40
"""Hits that are looked at; what is not among them shares too little to be named."""
SAME_TITLE = 88.0
"""Likeness of two titles, of 100, from which they may name one activity."""
SAME_THINGS = 0.6
"""Share of materials in common from which two cards of one technique may be one activity."""
MOST_THINGS = 3
"""Shared materials that the reason names."""
MANY_ALIKE = 150
"""Cards that share a word of their titles or a technique; a word that more share says nothing."""
EVERYWHERE = frozenset({"water", "towel", "apron", "floor mat", "tray"})
"""Materials that make no two activities alike."""


@dataclass(frozen=True, slots=True)
class Similar:
    """A card that is like another."""

    id: str
    title: str
    why: str
    """``same technique: sponge squeezing; also with hand sponge``."""


def similar_cards(card: Card, view: View, limit: int = 5) -> tuple[Similar, ...]:
    """Cards that share the technique or materials of one, the nearest first.

    Those of the same technique come before the others; among them the text decides.
    """
    items = {view.book.main_name(line.item) for line in card.materials} - EVERYWHERE
    near = [(hit, *_shared(card.technique, items, hit, view)) for hit in _near(card, view)]
    alike = [row for row in near if row[1] or row[2]]
    alike.sort(key=lambda row: not row[1])
    return tuple(
        Similar(hit.card.id, hit.card.title, _why(card, same, things))
        for hit, same, things in alike[:limit]
    )


def likely_duplicates(card: Card, view: View) -> tuple[Similar, ...]:
    """Cards that may be the same activity under another name; for a person to look at."""
    from rapidfuzz import fuzz

    items = {view.book.main_name(line.item) for line in card.materials} - EVERYWHERE
    found = []
    for hit in _near(card, view):
        title = fuzz.token_sort_ratio(card.title.lower(), hit.card.title.lower())
        same, things = _shared(card.technique, items, hit, view)
        others = items | ({view.book.main_name(name) for name in hit.card.materials} - EVERYWHERE)
        if title >= SAME_TITLE:
            found.append(Similar(hit.card.id, hit.card.title, "nearly the same title"))
        elif same and others and len(things) / len(others) >= SAME_THINGS:
            found.append(Similar(hit.card.id, hit.card.title, _why(card, same, things)))
    return tuple(found)


def pairs_alike(cards: Sequence[Card], book: MaterialBook) -> tuple[tuple[Card, Card, str], ...]:
    """Pairs of cards that may be one activity written twice, with why; for a person to look at.

    By the same two signs as :func:`likely_duplicates`. Titles are compared only where they share a
    word, and techniques only within one, so that the time grows little faster than the library.
    """
    groups: dict[str, list[int]] = {}
    for number, card in enumerate(cards):
        for word in {*card.title.casefold().split(), f"\n{card.technique.casefold()}"}:
            groups.setdefault(word, []).append(number)
    groups.pop("\n", None)
    items = [{book.main_name(line.item) for line in card.materials} - EVERYWHERE for card in cards]
    found: dict[tuple[int, int], str] = {}
    for numbers in groups.values():
        if len(numbers) <= MANY_ALIKE:
            for pair in combinations(numbers, 2):
                if pair not in found and (why := _alike(*pair, cards, items)):
                    found[pair] = why
    return tuple((cards[a], cards[b], why) for (a, b), why in sorted(found.items()))


def _alike(a: int, b: int, cards: Sequence[Card], items: Sequence[set[str]]) -> str:
    """Why two cards may be one activity; empty where nothing says so."""
    from rapidfuzz import fuzz

    one, other = cards[a], cards[b]
    if fuzz.token_sort_ratio(one.title.lower(), other.title.lower()) >= SAME_TITLE:
        return "nearly the same title"
    both, either = items[a] & items[b], items[a] | items[b]
    same = bool(one.technique) and one.technique.casefold() == other.technique.casefold()
    if same and either and len(both) / len(either) >= SAME_THINGS:
        return _why(one, same, sorted(both))
    return ""


def _near(card: Card, view: View) -> Iterable[Hit]:
    words = " ".join(
        [card.title, card.technique, *(line.item for line in card.materials), card.summary]
    )
    hits = search(view, Conditions(), words, LOOKED_AT).hits
    return [hit for hit in hits if hit.card.id != card.id]


def _shared(technique: str, items: set[str], hit: Hit, view: View) -> tuple[bool, list[str]]:
    same = bool(technique) and technique.casefold() == hit.card.technique.casefold()
    theirs = dict.fromkeys(view.book.main_name(name) for name in hit.card.materials)
    return same, [name for name in theirs if name in items]


def _why(card: Card, same: bool, things: list[str]) -> str:
    reasons = [f"same technique: {card.technique}"] if same else []
    if things:
        reasons.append("also with " + ", ".join(things[:MOST_THINGS]))
    return "; ".join(reasons)
