"""How many children at once: "group of four", "for two children", "one on one"."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from library.search.conditions import Conditions
from library.search.readers.numbers import NUMBERS, Number, read_number
from library.search.readers.phrases import end_of, meanings, openings_of, phrases, telling
from library.search.readers.text import Found, Text, opening
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("children group".split())
"""Words whose slips of typing are mended."""

_MOST_CHILDREN = 30
_GROUP_OF = phrases(
    "group of | groups of | group size | group size of | groups with | group of up to",
    "groups of up to | group of at most | groups of at most",
    "small group of | in a group of | pairs of",
)
_CHILDREN = frozenset("children child kids kid kiddos friends students pupils littles".split())
_AT_ONCE = phrases("at once | at a time | at the same time | together | in a group | per group")
_FIXED = meanings({
    1: "one on one | 1 on 1 | one to one | a single child | single child | one child | only one child",
    2: "a pair of children | a pair of kids | pairs of children | pairs of kids | in pairs"
    " | for a pair | for pairs | a couple of kids | a couple of children | children in pairs",
})  # fmt: skip
_LIMITS = phrases("up to | at most | max | maximum | maximum of | no more than | about")
_OPENINGS = openings_of(_FIXED, _GROUP_OF, _LIMITS, words=NUMBERS)
"""Words that such a condition may begin with."""
TELLING = telling(_FIXED, words=NUMBERS)
"""Words of which one stands wherever this is said; a question without any is not read for it."""


def read_group(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """How many children a question wants to occupy at once."""
    at = 0
    while at < len(text):
        opens = text.free(at) and opening(text.word(at)) in _OPENINGS and not text.negated(at)
        read = _fixed(text, at) or _grouped(text, at) or _counted(text, at) if opens else None
        if read is None:
            at += 1
            continue
        number, end = int(read.value), end_of(_AT_ONCE, text, read.end) or read.end
        yield Found("group", tuple(range(at, end)), Conditions(group=number), shown(number))
        at = end


def shown(number: int) -> str:
    """How the sentence says it."""
    return f"a group of {number}"


def _fixed(text: Text, at: int) -> Number | None:
    match = _FIXED.at(text, at)
    if match is None or text.tokens[match[1] - 1].possessive:
        return None
    return Number(Fraction(match[0][0]), match[1])


def _grouped(text: Text, at: int) -> Number | None:
    """Reads "group of four"; not "sort into groups of four"."""
    start = end_of(_GROUP_OF, text, at)
    if start is None or text.word(at - 1) == "into":
        return None
    return _largest(text, start)


def _counted(text: Text, at: int) -> Number | None:
    """Reads "four children", "2-4 kids at once", "three at a time", "four of my twos"."""
    start = end_of(_LIMITS, text, at) or at
    number = _largest(text, start)
    if number is None or text.breaks(number.end):
        return None
    end = number.end
    if end_of(_AT_ONCE, text, end) is not None:
        return number
    end += text.word(end) in {"little", "young", "small", "other"}
    if text.word(end) in _CHILDREN and text.free(end):
        return None if text.tokens[end].possessive else Number(number.value, end + 1)
    aged = text.taken[end] == "age" if end < len(text) else False
    opens = text.breaks(start) or text.word(start - 1) in {"for", "with", "my", "our", "only"}
    return number if aged and opens else None


def _largest(text: Text, at: int) -> Number | None:
    """A number of children; of "two to four" or "2-4" the larger."""
    first = read_number(text, at)
    if first is None or not _is_some(first):
        return None
    if text.breaks(first.end):
        return first
    hyphen = text.tokens[first.end].gap == "-"
    if hyphen or text.word(first.end) in {"to", "or"}:
        second = read_number(text, first.end + (not hyphen))
        if second and _is_some(second):
            return second
    return first


def _is_some(number: Number) -> bool:
    return number.whole and 1 <= number.value <= _MOST_CHILDREN
