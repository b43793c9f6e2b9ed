"""The words of a question as what the arrays are asked for: terms, beginnings and their weights."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from library.search.analysis import MAX_WORD, STOP_WORDS, fold, runs_of, stem, words_of
from library.search.arrays import FULL_MARK, Ints
from library.search.snippets import Wanted, wanted_beginning, wanted_forms
from library.search.spelling import corrected, respelled
from library.search.view import Beginning, View

MOST_TERMS = 40
"""Terms of one question; of a longer one the weightiest are kept, so that its time has a bound."""
MOST_LETTERS = 2_000
"""Signs of a question that are read."""
_MOST_NARROW = np.iinfo(np.int32).max // FULL_MARK
"""Weights of a question that sums of 32 bits can hold."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for."""

    text: str = ""
    """The words as they were looked for, corrections in place."""
    did_you_mean: str | None = None
    """The text again, if a word was corrected because it matches nothing."""
    terms: tuple[tuple[str, int], ...] = ()
    """Each term with its weight."""
    beginning: tuple[Beginning, int] | None = None
    """Words that begin with what the last word is so far, and their weight."""
    is_empty: bool = True
    """Whether there is no word to look for, so that everything may match."""

    def scores(self, view: View) -> list[Ints]:
        """For each part of a view what each document earns; 0 where nothing matches.

        Weights and marks are whole numbers, and so are their sums.
        """
        total = sum(weight for _, weight in self.terms)
        total += self.beginning[1] if self.beginning else 0
        wide = total > _MOST_NARROW
        found: list[Ints] = []
        for place, part in enumerate(view.parts):
            arrays = part.arrays
            scores: Ints = np.zeros(arrays.width, dtype=np.int64 if wide else np.int32)
            for term, weight in self.terms:
                arrays.add_term(scores, term, weight)
            if self.beginning:
                words, weight = self.beginning
                others = words.more_than_own(place)
                arrays.add_beginning(scores, words.letters, others, weight)
            found.append(scores)
        return found

    def wanted(self, view: View) -> list[Wanted]:
        """What to mark in a text."""
        found = [wanted for term, _ in self.terms for wanted in _wanted(term, view)]
        return [*found, wanted_beginning(self.beginning[0].letters)] if self.beginning else found


def ask(text: str, view: View, *, typing: bool = False) -> Asked:
    """Makes of some words what the arrays are asked for.

    A word that matches nothing is taken for a beginning if it is the last one, else for a slip.

    Args:
        text: The words.
        view: What will be searched.
        typing: Whether the last word is still being written: then it is a beginning in any case.
    """
    text = text[:MOST_LETTERS]
    folded = fold(text)
    letters = _last_letters(folded, typing)
    is_beginning = letters != "" and (typing or not _is_known(letters, view))
    begun = view.beginning(letters) if is_beginning else None
    holding = view.holding_beginning(begun) if begun else 0
    last = letters if holding else ""
    corrections = dict(_corrections(folded, last, view))
    words = words_of(text)
    meant = respelled(text, corrections) if corrections else text
    return Asked(
        text=meant,
        did_you_mean=meant if corrections else None,
        terms=tuple(_weighed(words_of(meant) if corrections else words, view)),
        beginning=(begun, view.weight(holding)) if begun and holding else None,
        is_empty=not last and all(word in STOP_WORDS for word in words),
    )


def _last_letters(folded: str, typing: bool) -> str:
    """The last word, or nothing if more stands behind it while it is being typed."""
    folded = folded if typing else folded.rstrip()
    runs = runs_of(folded[-MAX_WORD:])
    return runs[-1] if runs and folded.endswith(runs[-1]) else ""


def _is_known(word: str, view: View) -> bool:
    each = stem(word)
    return bool(view.holding(each)) or each in view.names.stems


def _corrections(folded: str, last: str, view: View) -> Iterator[tuple[str, str]]:
    """The words that match nothing, alone or joined to a neighbour, with what was probably meant."""
    words = runs_of(folded)
    unknown = [word for word in words if word != last and not _is_understood(word, view)]
    if not unknown:
        return
    joined = {word for pair in pairwise(words) if _is_known("".join(pair), view) for word in pair}
    for word in dict.fromkeys(unknown):
        meant = None if word in joined else corrected(word, view)
        if meant:
            yield word, meant


def _is_understood(word: str, view: View) -> bool:
    return word in STOP_WORDS or _is_known(word, view)


def _weighed(words: Sequence[str], view: View) -> Iterator[tuple[str, int]]:
    """The terms of some words that match something, each as heavy as it is rare and often asked."""
    stems = [stem(word) for word in words if word not in STOP_WORDS]
    asked: dict[str, int] = {}
    for term in (*stems, *view.names.things_in(stems)):
        asked[term] = asked.get(term, 0) + 1
    for one, next_one in pairwise(words):
        asked.setdefault(stem(one + next_one), 1)
    found = [(term, view.holding(term), times) for term, times in asked.items()]
    weights = [(term, view.weight(held) * times) for term, held, times in found if held]
    yield from sorted(weights, key=lambda item: (-item[1], item[0]))[:MOST_TERMS]


def _wanted(term: str, view: View) -> Iterator[Wanted]:
    """What in a text counts as a term: its forms, or the names of a thing."""
    for name in view.names.written.get(term, ()):
        yield wanted_beginning(" ".join(fold(name).split()))
    forms = wanted_forms(view.forms_of(term))
    if forms:
        yield forms
