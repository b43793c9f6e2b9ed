"""Drafts or ready cards. Drafts show only where they are asked for."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.phrases import meanings, telling
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = ()
"""Words whose slips of typing are mended."""

_SHOWN = {"draft": "drafts", "ready": "ready cards"}
_PHRASES = meanings({
    "draft": "drafts | draft cards | draft card | draft activities | draft activity | in draft"
    " | still in draft | unfinished cards | unreviewed | unreviewed cards | not ready yet"
    " | status draft | draft ideas | cards in draft | waiting for review | draft only | draft",
    "ready": "ready cards | no drafts | without drafts | not drafts | status ready | only ready cards"
    " | reviewed cards | finished cards",
})  # fmt: skip
_OF_AIR = frozenset(
    "air cold wind windy door window feel feeling stop stopper excluder under".split()
)
"""Near "draft" they show that it is the one that comes under a door."""
TELLING = telling(_PHRASES)
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_status(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Whether drafts are asked for."""
    at = 0
    while at < len(text):
        match = _PHRASES.at(text, at)
        if match is None or text.negated(at) or _is_of_air(text, at, match[1]):
            at += 1
            continue
        (status, *_), end = match
        yield Found("status", tuple(range(at, end)), Conditions(status=status), _SHOWN[status])
        at = end


def _is_of_air(text: Text, at: int, end: int) -> bool:
    near = {text.word(place) for place in (*range(at - 3, at), *range(end, end + 3))}
    alone = text.word(at) != "draft" or end - at > 1 or (text.breaks(at) and text.breaks(end))
    return bool(near & _OF_AIR) or not alone
