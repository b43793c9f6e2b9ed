"""How close an adult has to be: "an adult close by", "within arm's reach", "within sight"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.phrases import meanings, telling
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("supervision".split())
"""Words whose slips of typing are mended."""

REACH, SIGHT = "within reach", "within sight"
_ADULTS = frozenset(
    "adult adults teacher teachers grownup grownups up ups caregiver educator staff someone".split()
)
_BY_THEMSELVES = meanings({
    REACH: "within arms reach | within arm reach | in arms reach | within an arms reach"
    " | close supervision | at arms length | closely supervised | arms reach | hands on supervision",
    SIGHT: "within sight and sound | in sight and sound | within sight and hearing"
    " | sight and sound | sight supervision",
})  # fmt: skip
_OF_ADULTS = meanings({
    REACH: "within reach | in reach | close by | close | nearby | right there | next to them"
    " | near | near by | beside them | right beside | at hand | at the table | right next to them",
    SIGHT: "within sight | in sight | across the room | watching from across the room"
    " | from across the room | watching from a distance | from a distance | nearby enough to see",
})  # fmt: skip
_ALONE = meanings({
    SIGHT: "without an adult close by | without an adult nearby | no adult close by"
    " | without an adult within reach | no adult within reach | no adult nearby"
    " | without an adult at the table | without a teacher close by | without a teacher nearby"
    " | no teacher close by",
})  # fmt: skip


TELLING = telling(_BY_THEMSELVES, _OF_ADULTS, _ALONE)
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_adult(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """How close an adult has to be.

    "Within reach" and "close" are read only of an adult: a shelf can be within reach as well.
    """
    at = 0
    while at < len(text):
        found = _found(text, at)
        if found is not None:
            yield found
            at = found.tokens[-1] + 1
        else:
            at += 1


def _found(text: Text, at: int) -> Found | None:
    alone = _ALONE.at(text, at)
    if alone is None and text.negated(at):
        return None
    match = alone or _BY_THEMSELVES.at(text, at)
    if match is not None:
        return _says(match[0][0], _adult_before(text, at) if alone is None else at, at, match[1])
    match = _OF_ADULTS.at(text, at)
    if match is None:
        return None
    start = _adult_before(text, at)
    if start < at and not text.negated(start):
        return _says(match[0][0], start, at, match[1])
    alone_in_clause = text.breaks(at) and text.breaks(match[1]) and " " in match[0][0]
    if alone_in_clause and text.word(at) == "within":
        return _says(match[0][0], at, at, match[1])
    return None


def _says(how: str, start: int, at: int, end: int) -> Found:
    tokens = tuple(range(start, end))
    return Found("adult", tokens, Conditions(adult=how), f"an adult {how}")


def _adult_before(text: Text, at: int) -> int:
    """Where the adult is named before this place; the place itself where none is."""
    for before in range(at - 1, max(at - 5, -1), -1):
        if text.tokens[before + 1].breaks or not text.free(before):
            return at
        word = text.word(before)
        if word in {"up", "ups"} and text.word(before - 1) == "grown":
            return before - 1
        if word in _ADULTS - {"up", "ups"}:
            return before
        if word not in {
            "is",
            "are",
            "stays",
            "staying",
            "sitting",
            "right",
            "be",
            "to",
            "very",
            "has",
        }:
            return at
    return at
