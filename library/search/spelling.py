"""Corrects a word that matches nothing, by the words that the library itself uses."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, partial

import numpy as np
from numpy.typing import NDArray

from library.search.analysis import LETTERS, MAX_WORD, fold
from library.search.arrays import Arrays
from library.search.view import View

SHORTEST = 3
"""Letters; shorter words are left as they are."""


@dataclass(frozen=True, slots=True)
class Lexicon:
    """The words of some arrays, with what tells quickly that two of them are not alike."""

    forms: list[str]
    """The shorter ones first."""
    starts: list[int]
    """For each length the place of the first word that is so long or longer; last, their number."""
    letters: NDArray[np.uint32]
    """A bit for each letter a word has."""
    uses: Mapping[str, int]
    """In how many cards a word stands."""


def lexicon_of(arrays: Arrays) -> Lexicon:
    """The words of some arrays; made once."""

    def make() -> Lexicon:
        forms = sorted(arrays.forms, key=len)
        lengths = [len(form) for form in forms]
        return Lexicon(
            forms,
            [bisect_left(lengths, length) for length in range(MAX_WORD + 2)],
            np.fromiter(map(_letters_of, forms), dtype=np.uint32, count=len(forms)),
            dict(zip(arrays.forms, arrays.form_uses.tolist(), strict=True)),
        )

    lexicon: Lexicon = arrays.kept("lexicon", make)
    return lexicon


def _letters_of(word: str) -> int:
    """A bit for each letter; letters of other scripts may share one."""
    bits = 0
    for sign in word:
        bits |= 1 << (ord(sign) & 31)
    return bits


def most_slips(word: str) -> int:
    """How many slips a word of this length may hold: letters added, left out, wrong or swapped.

    Common practice, no source: one up to five letters, two from six.
    """
    return 1 if len(word) < 6 else 2


def corrected(word: str, view: View) -> str | None:
    """The word that was probably meant, or two words where a blank was left out; None if unclear.

    The fewest slips win, counted as optimal string alignment distance (a swap of neighbours is
    one); of equals those with the same first letter, then the word that most cards have.
    """
    if len(word) < SHORTEST or any(sign.isdigit() for sign in word):
        return None
    lexicons = [lexicon_of(part.arrays) for part in view.parts]
    # Most slips are single, and those are found in half the time.
    best = _nearest(word, lexicons, 1)
    if best is not None and best[0] == 1:
        return best[3]
    best = _nearest(word, lexicons, most_slips(word))
    return _parted(word, lexicons) or (best[3] if best else None)


def _nearest(word: str, lexicons: list[Lexicon], most: int) -> tuple[int, bool, int, str] | None:
    """The best of all words with so many slips at most: slips, another first letter, uses, word."""
    return min((near for lexicon in lexicons for near in _near(word, lexicon, most)), default=None)


def _near(word: str, lexicon: Lexicon, most: int) -> list[tuple[int, bool, int, str]]:
    near = _pick()(word, _perhaps(word, lexicon, most), score_cutoff=most)
    return [(int(slips), form[0] != word[0], -lexicon.uses[form], form) for form, slips, _ in near]


@cache
def _pick() -> Callable[..., list[tuple[str, float, int]]]:
    """Picks the words with so many slips at most; loaded with the first slip."""
    from rapidfuzz.distance import OSA
    from rapidfuzz.process import extract

    return partial(extract, scorer=OSA.distance, limit=None)


def _perhaps(word: str, lexicon: Lexicon, most: int) -> list[str]:
    """Words that may be so near: a slip changes the length by one at most, and two letters at most."""
    first = lexicon.starts[max(SHORTEST, min(len(word) - most, MAX_WORD))]
    last = lexicon.starts[min(len(word) + most, MAX_WORD) + 1]
    unlike = np.bitwise_count(lexicon.letters[first:last] ^ np.uint32(_letters_of(word)))
    return [lexicon.forms[first + place] for place in np.flatnonzero(unlike <= 2 * most).tolist()]


def _parted(word: str, lexicons: list[Lexicon]) -> str | None:
    """The word as two words of the library: ``playdough`` as ``play dough``."""

    def uses(part: str) -> int:
        return sum(lexicon.uses.get(part, 0) for lexicon in lexicons)

    parts = [(word[:at], word[at:]) for at in range(SHORTEST, len(word) - SHORTEST + 1)]
    known = [(min(uses(left), uses(right)), f"{left} {right}") for left, right in parts]
    most, both = max(known, default=(0, ""))
    return both if most else None


def respelled(text: str, corrections: Mapping[str, str]) -> str:
    """A text with some words replaced; everything else keeps its place and its case."""
    return LETTERS.sub(lambda match: corrections.get(fold(match[0]), match[0]), text)
