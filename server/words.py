"""Values in the words of a page."""

from __future__ import annotations

from library.cards.card import Card
from library.cards.values import Adult

MESS = ("none", "wipe a table", "aprons and a mop", "change of clothes")
"""What each step of a card's mess means."""


def center_title(key: str) -> str:
    """What a page calls a center."""
    return key.replace("-", " ").capitalize()


def facts(card: Card) -> tuple[tuple[str, str], ...]:
    """What to know about a card at a glance: name and value."""
    rows = [
        ("prep", f"{card.prep_minutes} min"),
        ("ages", card.ages.in_words()),
        ("children at once", str(card.group).replace("-", " to ") if card.group else ""),
        (
            "adult",
            "within arm's reach" if card.adult is Adult.WITHIN_REACH else "within sight and sound",
        ),
        ("wait", card.wait.in_words() if card.wait else ""),
        ("keeps", card.keeps.in_words() if card.keeps else ""),
        ("stays", f"about {card.runs} min" if card.runs else ""),
        ("mess", MESS[card.mess]),
        ("where", "indoors or outdoors" if card.place == "either" else card.place.value),
    ]
    return tuple((name, value) for name, value in rows if value)
