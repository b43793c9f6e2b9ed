"""Which of the words that no reader took are left to search for, and which only carry a question."""

from __future__ import annotations

from library.search.analysis import STOP_WORDS
from library.search.readers.text import NEGATORS, Text

_ASKING = frozenset(
    """
    activity activities idea ideas please thanks thank looking look want wants wanted need needs
    needed find show give got get suggest suggestion suggestions recommend child children kid kids
    kiddos class thing things stuff anything everything today tomorrow tonight week weeks monday
    tuesday wednesday thursday friday fun good great nice cool easy simple best using use uses used
    involving involves practice practicing hi help im weve ive id lets whats ideally preferably
    maybe else really very way ways try search list during anyone someone sth goes mixed ages aged recipe
    ones
    """.split()
)
"""Words that ask, and say nothing about what is asked for."""
FILLERS = STOP_WORDS | _ASKING | {"w", "o", "s", "bc", "coz", "cuz"}
QUOTED, TITLED = "quoted", "titled"
"""What shields a token from being read: quotation marks, or being part of a card's title."""


def left_over(text: Text) -> tuple[int, ...]:
    """The places of the words to search for: not read, and saying something.

    A negation stays with the word it belongs to: "no cooking" is not to become "cooking".
    """
    kept: list[int] = []
    for at in range(len(text)):
        if text.taken[at] == QUOTED or _says_something(text, at):
            kept.append(at)
    return tuple(sorted([*kept, *_negations(text, kept)]))


def _says_something(text: Text, at: int) -> bool:
    word = text.word(at)
    if text.taken[at] not in {"", TITLED} or not word[0].isalnum():
        return False
    if word in NEGATORS:
        return False
    if word in {"card", "cards"} and not text.taken[at]:
        return at > 0 and text.word(at - 1) not in FILLERS
    return word not in (STOP_WORDS if text.taken[at] else FILLERS)


def _negations(text: Text, kept: list[int]) -> list[int]:
    if NEGATORS.isdisjoint(text.words):
        return []
    places = set(kept)
    found = []
    for at in range(len(text)):
        if text.word(at) not in NEGATORS or text.taken[at] not in {"", TITLED} or at in places:
            continue
        behind = at + 1
        while behind < min(at + 5, len(text)) and not text.breaks(behind) and behind not in places:
            behind += 1
        if behind in places and not text.breaks(behind):
            found.append(at)
    return found
