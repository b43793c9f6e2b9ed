"""Only what can be done with what there is: "with what we have", "nothing to buy"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.phrases import everywhere, phrases, telling
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("already".split())
"""Words whose slips of typing are mended."""

_WHAT = (
    "what we have", "what we already have", "what weve got", "what we have got", "what i have",
    "what i already have", "what ive got", "what is on hand", "whats on hand", "what is in stock",
    "what we own", "what we already own", "what is already here", "whats here", "what is here",
    "what is in the room", "whats in the room", "what is in the classroom", "what we have here",
    "what is on the shelf", "whats on the shelf", "what is on the shelves", "whats on the shelves",
    "what is in the cupboard", "whats in the cupboard", "what is in the cupboards",
    "whats in the cupboards", "what is in the storeroom", "whats in the storeroom",
    "what is in the closet", "whats in the closet", "things we have", "things we already have",
    "stuff we have", "stuff we already have", "materials we have", "materials we already have",
    "supplies we have", "supplies we already have", "materials on hand", "supplies on hand",
    "things on hand", "stuff on hand", "the things we have", "the materials we have",
    "the supplies we have", "the stuff we have", "materials we own", "supplies we own",
    "only what we have", "just what we have", "things i have", "things i already have",
    "what we have in the room", "what we have on hand", "what we have in stock",
    "whatever we have", "whatever we already have", "whats in stock", "what i have on hand",
    "what we have at school", "what we have around", "what we have already", "what i have already",
)  # fmt: skip
_LEADS = ("with", "using", "from", "with only", "using only", "only with", "with just", "out of",
          "just with", "only using", "just using")  # fmt: skip
_PHRASES = phrases(
    *(f"{lead} {what}" for lead in _LEADS for what in _WHAT),
    *_WHAT,
    "that we have everything for | we have everything for | we have everything | that we already have",
    "we already have | i already have | that we have | that i already have | that we already own",
    "nothing to buy | no shopping | without buying anything | without buying | no need to buy anything",
    "nothing new to buy | without shopping | dont need to buy anything | dont have to buy anything",
    "no buying | no trip to the store | without a trip to the store",
    "we have on hand | that we have on hand | we already own | that we own | we have in stock",
    "without buying more | without buying anything new | dont have to buy | i have everything for",
)
TELLING = telling(_PHRASES)
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_on_hand(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Whether only what the stock covers is wanted."""
    for _, start, end in everywhere(_PHRASES, text):
        tokens = tuple(range(start, end))
        yield Found("on_hand", tokens, Conditions(on_hand=True), "what we have")
