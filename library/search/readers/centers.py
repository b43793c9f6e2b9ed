"""Centers by their everyday names: "at the easel", "for water or sensory", "house corner"."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from library.search.conditions import Conditions
from library.search.readers.text import ENDS_A_NAME, Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("sensory dramatic easel playdough science playground".split())
"""Words whose slips of typing are mended."""

_UNMISTAKABLE = frozenset("easel easels manipulatives playdough sensory tabletop".split())
"""Single words that mean a center wherever they stand. All others need a sign beside them."""
_MANY_MEANINGS = frozenset("light table circle".split())
"""Words that mean a center only beside "center", "area" and the like, or in a list of centers."""
_OF_THE_ROOM = frozenset(
    "center centers area areas corner corners station stations nook space".split()
)
_OF_PLAY = frozenset(
    """
    activity activities experiment experiments fun game games idea ideas invitation lesson play
    project projects provocation shelf table tables time
    """.split()
)
_AT = frozenset("at in on during".split())
_IN_THE_THING = frozenset("water light table circle dough book books sensory".split())
"""After "in" these are the thing itself: in water, in a circle."""
_NOT_THE_CENTER = {
    "sensory": frozenset(
        "bag bags bottle bottles path paths board boards book books walk walks needs issues input "
        "seeking processing overload break breaks friendly room garden".split()
    ),
}
_ASKING = frozenset(
    """
    activities activity anything better different few good great ideas idea me more new nice one ones
    ready something stuff suggestions things thing want need
    """.split()
)
"""Before "for" they leave it to mean the center; "a bucket for water" does not."""


class _Named(NamedTuple):
    """A center's name in the text."""

    key: str
    start: int
    end: int
    sure: bool
    """Whether it means the center by itself."""


def read_centers(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """The centers that a question is about; any of them counts."""
    at = 0
    while at < len(text):
        row = _row(text, vocabulary, at)
        if not row:
            at += 1
            continue
        if _is_about_centers(text, row):
            for each in row:
                tokens = tuple(range(each.start, _with_noun(text, each.end)))
                shown = shown_center(vocabulary, each.key)
                yield Found("centers", tokens, Conditions(centers=(each.key,)), shown)
        at = row[-1].end


def shown_center(vocabulary: Vocabulary, key: str) -> str:
    """How the sentence calls a center: so that it reads back as the center, not as a place."""
    name = vocabulary.center_name(key)
    return f"{name} center" if name in {"outdoors", "outdoor", "indoors"} else name


def _row(text: Text, vocabulary: Vocabulary, at: int) -> list[_Named]:
    """The names of centers that follow each other, joined by commas, "or" and "and"."""
    row: list[_Named] = []
    while True:
        named = _named(text, vocabulary, at)
        if named is None:
            return row
        row.append(named)
        at = _with_noun(text, named.end)
        if at >= len(text) or text.tokens[at].gap == ".":
            return row
        comma = text.tokens[at].gap == ","
        joint = text.word(at) in {"or", "and", "&", "/", "plus"} and text.free(at)
        if not comma and not joint:
            return row
        at += joint
        while text.word(at) in {"the", "our", "my", "at", "for", "in"} and text.free(at):
            at += 1


def _named(text: Text, vocabulary: Vocabulary, at: int) -> _Named | None:
    match = vocabulary.center_phrases.at(text, at)
    if match is None:
        return None
    (key, *_), end = match
    thing = vocabulary.material_phrases.at(text, at)
    if thing is not None and thing[1] > end:
        return None
    word = text.word(at)
    if end - at > 1:
        return _Named(key, at, end, sure=True)
    behind = "" if text.breaks(end) else text.word(end)
    if word in _UNMISTAKABLE:
        if behind in _NOT_THE_CENTER.get(word, ()) or text.word(at - 1) == "multi":
            return None
        return _Named(key, at, end, sure=True)
    if behind in _OF_THE_ROOM and text.free(end):
        return _Named(key, at, end, sure=True)
    if word not in _MANY_MEANINGS and behind in _OF_PLAY and text.free(end):
        return _Named(key, at, end, sure=True)
    if not text.ends_name(end) or text.tokens[at].possessive:
        return None
    return _Named(key, at, end, sure=False)


def _with_noun(text: Text, end: int) -> int:
    """The place behind "center" or "area", where one follows a center's name."""
    follows = not text.breaks(end) and text.free(end)
    return end + 1 if follows and text.word(end) in _OF_THE_ROOM else end


def _is_about_centers(text: Text, row: list[_Named]) -> bool:
    start = row[0].start
    if text.negated(start) or text.in_negated_list(start):
        return False
    if any(each.sure for each in row):
        return True
    return _is_led(text, row[0]) or _stands_alone(text, row)


def _is_led(text: Text, named: _Named) -> bool:
    """Reads "for water", "in science", "at the blocks"; not "a bucket for water", "in the water"."""
    before = named.start - 1
    before -= text.word(before) in {"the", "our", "my"}
    if before < 0 or any(text.tokens[at].breaks for at in range(before + 1, named.start + 1)):
        return False
    word = text.word(named.start)
    if text.word(before) in _AT:
        if word == "circle":
            return text.word(before) in {"at", "during"} and before == named.start - 1
        return word not in _IN_THE_THING
    if text.word(before) != "for" or word == "table":
        return False
    asks = before == 0 or text.breaks(before) or bool(text.taken[before - 1])
    return asks or text.word(before - 1) in _ASKING


def _stands_alone(text: Text, row: list[_Named]) -> bool:
    """Whether a clause consists of nothing but names of centers, and of what was read already."""
    first, last = row[0].start, row[-1].end
    opens = text.breaks(first) or bool(text.taken[first - 1])
    if not opens and text.word(first - 1) in ENDS_A_NAME | {"something", "anything"}:
        return False
    closes = text.breaks(last) or bool(text.taken[last]) or text.word(last) in _CLOSING
    plain = len(row) > 1 or text.word(first) not in _MANY_MEANINGS
    return opens and closes and plain


_CLOSING = frozenset("for with without that please to no at".split())
