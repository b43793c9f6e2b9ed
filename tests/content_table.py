"""What the starter library covers: ``python -m tests.content_table`` prints it."""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator

from library.cards.card import Card
from library.cards.values import Place
from tests import shelf

CENTERS = (
    "sensory", "water", "light", "art", "easel", "dough", "dramatic", "blocks", "table", "writing",
    "books", "science", "music", "outdoors", "circle",
)  # fmt: skip
LARGE_MUSCLES = {"IT-PMP-3", "IT-PMP-4", "IT-PMP-5", "P-PMP-1", "P-PMP-2"}
"""Goals of moving the whole body."""
WET = {"water", "sensory", "art", "easel", "dough", "writing"}
"""Centers whose work may move the whole body and is still no place to run and climb."""


def moves_indoors(card: Card) -> bool:
    """Whether a card lets the whole body move on a day of rain."""
    return (
        card.place is not Place.OUTDOORS
        and card.centers[0] not in WET
        and bool(LARGE_MUSCLES & set(card.domains))
    )


def works_anywhere(card: Card) -> bool:
    """Whether a card can be dressed for any theme in any season."""
    return bool(card.props) and not card.seasons


def shares() -> dict[str, int]:
    """How many cards there are of each kind that a room counts on."""
    cards = shelf.cards()
    return {
        "cards": len(cards),
        "5 minutes of prep or less": sum(card.prep <= 5 for card in cards),
        "nothing bought": sum(map(shelf.buys_nothing, cards)),
        "any season, any theme": sum(map(works_anywhere, cards)),
        "outdoors": sum(card.place is Place.OUTDOORS for card in cards),
        "moving on a day of rain": sum(map(moves_indoors, cards)),
    }


def by_technique() -> dict[str, list[Card]]:
    """Cards of each technique, in alphabetical order."""
    found: dict[str, list[Card]] = defaultdict(list)
    for card in shelf.cards():
        found[card.technique].append(card)
    return dict(sorted(found.items()))


def goal_counts() -> Counter[str]:
    """On how many cards each goal stands."""
    return Counter(goal for card in shelf.cards() for goal in card.domains)


def table() -> Iterator[str]:
    """The lines of the table."""
    yield "Shares"
    for name, count in shares().items():
        yield f"  {count:4}  {name}"
    yield "Centers (usual place; any place)"
    usual = Counter(card.centers[0] for card in shelf.cards())
    anywhere = Counter(center for card in shelf.cards() for center in card.centers)
    for center in CENTERS:
        yield f"  {usual[center]:4}  {anywhere[center]:4}  {center}"
    yield "Techniques"
    for technique, cards in by_technique().items():
        names = ", ".join(f"{card.id} ({card.centers[0]})" for card in cards)
        yield f"  {len(cards):4}  {technique}: {names}"
    yield "Goals"
    for goal, count in sorted(goal_counts().items(), key=lambda pair: (-pair[1], pair[0])):
        yield f"  {count:4}  {goal}"


if __name__ == "__main__":
    sys.stdout.write("\n".join(table()) + "\n")
