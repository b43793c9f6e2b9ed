"""What a word is: the same for cards and for questions, or they would miss each other.

Text becomes words (lower case, accents folded, ``no-cook`` as ``no``, ``cook`` and ``nocook``), words
become stems (``squeezing`` → ``squeez``), and the little words of :data:`STOP_WORDS` are left out.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from snowballstemmer import EnglishStemmer

STOP_WORDS = frozenset(
    """
    a about after all also am an and any are as at be because been before being both but by can
    could did do does each few for from had has have he her hers here him his how i if in into is
    it its itself just like may me might more most must my no nor not of off on once one only or
    other our out over own shall she should so some something such than that the their theirs them
    then there these they this those to too until up us very was we were what when where which
    while who whom why will with without would you your
    """.split()
)
"""Words that nearly every card has and that say nothing about it."""

_WORD = re.compile(r"[^\W_]+(?:['’ʼ\-‐‑][^\W_]+)*")
_HYPHEN = re.compile(r"[\-‐‑]")
_APOSTROPHE = re.compile(r"['’ʼ]")
_INNER_SIGN = re.compile(r"['’ʼ\-‐‑]")
LETTERS = re.compile(r"[^\W_]+")
"""A run of letters and digits: a word, or a part of one with hyphens."""
MAX_WORD = 40
"""Longer runs of letters are cut: nobody looks for them, and they would swell the index."""


def fold(text: str) -> str:
    """The text in lower case and without accents: ``Añil`` → ``anil``."""
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFD", text.casefold())
    return unicodedata.normalize("NFC", "".join(c for c in plain if not unicodedata.combining(c)))


def fold_in_place(text: str) -> str:
    """As :func:`fold`, but every character stays where it is, so that positions can be compared."""
    if text.isascii():
        return text.lower()
    return "".join(_folded_sign(sign) for sign in text)


@lru_cache(maxsize=4096)
def _folded_sign(sign: str) -> str:
    folded = fold(sign)
    return folded if len(folded) == 1 else sign


def runs_of(text: str) -> list[str]:
    """The runs of letters and digits in a text: words, and parts of those with hyphens."""
    return text.split() if _has_no_signs(text) else LETTERS.findall(text)


def _has_no_signs(text: str) -> bool:
    """Whether blanks alone part the words, as in most questions: then nothing has to be searched for."""
    return text.isascii() and text.replace(" ", "").isalnum()


def words_of(text: str) -> list[str]:
    """The words of a text in their order, folded, stop words included.

    A word with hyphens gives its parts and then all of it without hyphens, so that ``set-up``,
    ``set up`` and ``setup`` meet. A possessive loses its ``'s``; other apostrophes vanish.
    """
    if _has_no_signs(text):
        return [word[:MAX_WORD] for word in fold(text).split()]
    found = _WORD.findall(fold(text))
    if _INNER_SIGN.search(text) is None:
        return [word[:MAX_WORD] for word in found]
    return [word for whole in found for word in _words_in(whole)]


def _words_in(whole: str) -> Iterator[str]:
    if whole.isalnum():
        yield whole[:MAX_WORD]
        return
    parts = [_without_apostrophe(part) for part in _HYPHEN.split(whole)]
    yield from (part[:MAX_WORD] for part in parts)
    if len(parts) > 1:
        yield "".join(parts)[:MAX_WORD]


def _without_apostrophe(word: str) -> str:
    if word.endswith(("'s", "’s", "ʼs")):
        word = word[:-2]
    return _APOSTROPHE.sub("", word)


@lru_cache(maxsize=100_000)
def stem(word: str) -> str:
    """What the forms of an English word have in common: ``pouring``, ``pours`` → ``pour``.

    Source: Snowball's English stemmer (Porter2), as published with its vocabulary of some 42,600 words.
    """
    return str(_stemmer().stemWord(word))


@cache
def _stemmer() -> EnglishStemmer:
    import snowballstemmer

    return snowballstemmer.stemmer("english")


def stems_of(text: str) -> list[str]:
    """The stems of a text in their order, without stop words."""
    return [stem(word) for word in words_of(text) if word not in STOP_WORDS]
