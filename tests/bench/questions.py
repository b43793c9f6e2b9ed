"""Sixty questions over generated cards, of the six kinds that teachers ask."""

from __future__ import annotations

import random
from collections.abc import Iterator

from library.search.arrays import Arrays
from library.search.conditions import Conditions
from tests.bench.engines.common import Ask

KINDS = ("topical", "with conditions", "conditions only", "as you type", "typo", "phrase")
CONDITIONS: tuple[tuple[str, Conditions], ...] = (
    ("under 10 minutes of prep", Conditions(prep_max=10)),
    ("outdoors", Conditions(place="outdoors")),
    ("for 30 to 36 months", Conditions(age_range=(30, 36))),
    ("without scissors", Conditions(without=("child scissors",))),
    ("in the fall", Conditions(season="fall")),
    ("no prep", Conditions(prep_max=0)),
)
"""How it is said, and what it means."""


def questions(arrays: Arrays, *, seed: int = 7) -> list[Ask]:
    """The questions for some cards; every word in them occurs, except where a letter is wrong."""
    rng = random.Random(seed)
    common, middle, rare = _words_by_use(arrays)
    asks: list[Ask] = []
    for _ in range(12):
        words = f"{rng.choice(common)} {rng.choice(middle)}" + (
            f" {rng.choice(rare)}" if rng.random() < 0.5 else ""
        )
        asks.append(Ask("topical", words, words))
    for number in range(12):
        words = f"{rng.choice(common)} {rng.choice(middle)}"
        said, conditions = CONDITIONS[number % len(CONDITIONS)]
        asks.append(Ask("with conditions", f"{words} {said}", words, conditions))
    for said, conditions in CONDITIONS:
        asks.append(Ask("conditions only", said, "", conditions))
    asks += _typed(rng, common, middle)
    for _ in range(9):
        word = rng.choice([each for each in middle if len(each) > 5])
        words = f"{rng.choice(common)} {_slip(word, rng)}"
        asks.append(Ask("typo", words, words))
    for _ in range(9):
        sentence = rng.choice(arrays.text(rng.randrange(arrays.size)).split("\n")).split()
        at = rng.randrange(max(1, len(sentence) - 3))
        words = " ".join(sentence[at : at + 3]).strip(".").lower()
        asks.append(Ask("phrase", words, words))
    return asks


def _words_by_use(arrays: Arrays) -> tuple[list[str], list[str], list[str]]:
    """Words in over a twentieth, over a thousandth, and in few of the cards."""
    uses = dict(zip(arrays.forms, arrays.form_uses.tolist(), strict=True))
    spoken = {word: n for word, n in uses.items() if word.isalpha() and len(word) > 3}
    common = [word for word, n in spoken.items() if arrays.size / 20 < n < arrays.size / 2]
    middle = [word for word, n in spoken.items() if arrays.size / 1000 < n <= arrays.size / 20]
    rare = [word for word, n in spoken.items() if 0 < n <= max(3, arrays.size / 1000)]
    return common, middle, rare or middle


def _typed(rng: random.Random, common: list[str], middle: list[str]) -> Iterator[Ask]:
    """Questions as they grow letter by letter."""
    for _ in range(3):
        first, second = rng.choice(common), rng.choice(middle)
        for letters in (first[:1], first[:2], f"{first} {second[:2]}", f"{first} {second[:4]}"):
            yield Ask("as you type", letters, letters, typing=True)


def _slip(word: str, rng: random.Random) -> str:
    """The word with two letters swapped, one left out or one doubled."""
    at = rng.randrange(1, len(word) - 2)
    return rng.choice((
        word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        word[:at] + word[at + 1 :],
        word[: at + 1] + word[at:],
    ))  # fmt: skip
