"""Indoors or outdoors: "outside", "in the fresh air", "rainy day"; not "inside a box"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.phrases import meanings, telling
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS = tuple("outside outdoors outdoor indoors indoor inside".split())
"""Words whose slips of typing are mended."""

INDOORS, OUTDOORS = "indoors", "outdoors"
_PLACES = meanings({
    INDOORS: "indoors | indoor | inside | rainy day | rainy days | for rainy days | on rainy days"
    " | stuck inside | stuck indoors | on a rainy day | for a rainy day | when it rains"
    " | too wet to go out | too cold to go out | too wet to go outside | too cold to go outside"
    " | cant go outside | cant go out | wet day | wet weather | bad weather",
    OUTDOORS: "outdoors | outdoor | outside | out of doors | in the open air | in the fresh air"
    " | fresh air | open air | in the garden | alfresco | out in the open",
})  # fmt: skip
_OF_A_CENTER = frozenset("center area corner classroom station".split())
_OF_A_THING = frozenset(
    "a an the of out their its my your each it them one his her another this that".split()
)
"""Behind "inside" and "outside" they show that it is the inside of something."""
_LYING = frozenset(
    """
    whats what hidden hide hiding frozen freeze trapped put puts putting get gets look looking
    feel the things found buried tucked wrapped packed treasure from
    """.split()
)
"""Before "inside" they show that something lies in something."""
TELLING = telling(_PLACES)
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_place(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Where the children will be."""
    at = 0
    while at < len(text):
        match = _PLACES.at(text, at)
        if match is None:
            at += 1
            continue
        (place, *_), end = match
        if _is_place(text, at, end):
            denied = text.negated(at) and text.word(at) not in {"cant", "too"}
            yield _found(place, denied, tuple(range(at - denied, end)))
        at = end


def _found(place: str, denied: bool, tokens: tuple[int, ...]) -> Found:
    """There are two places: what is not outside is inside."""
    if denied:
        place = INDOORS if place == OUTDOORS else OUTDOORS
    return Found("place", tokens, Conditions(place=place), place)


def _is_place(text: Text, at: int, end: int) -> bool:
    word = text.word(at)
    if text.negated(at) and text.word(at - 1) not in {"not", "isnt", "no", "cant"}:
        return word in {"cant", "too"}
    if not text.breaks(end) and text.word(end) in _OF_A_CENTER:
        return False
    if word not in {"inside", "outside"}:
        return not (word == "wet" and text.word(at - 1) in {"the"})
    if not text.breaks(end) and text.free(end) and text.word(end) in _OF_A_THING:
        return text.word(end) in {"this", "each"} and text.word(end + 1) in {"week", "day"}
    before = text.word(at - 1)
    if text.breaks(at):
        return True
    return before not in (_LYING if word == "inside" else {"the", "from"})
