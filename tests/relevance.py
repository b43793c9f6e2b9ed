"""How well search answers questions as teachers ask them: ``python -m tests.relevance``.

The questions and the cards that should come first stand in ``golden/relevance.yaml``, judged by
hand. ``python -m tests.relevance --each`` also shows what came first for each question.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

from library.cards.folder import CardFolder
from library.frameworks.everyday import domain_words
from library.frameworks.framework import head_start
from library.search.index import SearchIndex
from library.search.lexicon import vocabulary_of
from library.store.paths import LibraryPaths
from server.asking import answer, read_asked
from tests.shelf import ROOT

QUESTIONS = Path(__file__).parent / "golden" / "relevance.yaml"
GRADES = {"best": 3, "good": 2, "fair": 1}
DEPTH = 10
FIRST = 3


@dataclass(frozen=True, slots=True)
class Judged:
    """A question with the cards that should come first."""

    ask: str
    grades: Mapping[str, int]
    """Card → 3 best, 2 good, 1 fair; every other card is 0."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A judged question with what search gave."""

    judged: Judged
    found: tuple[str, ...]
    """Ids of the first cards, best first."""

    @property
    def ndcg(self) -> float:
        """Normalized discounted cumulative gain of the first ten, 0 to 1."""
        return ndcg(self.found, self.judged.grades)

    @property
    def is_right_early(self) -> bool:
        """Whether a best card is among the first three."""
        return any(self.judged.grades.get(card) == GRADES["best"] for card in self.found[:FIRST])


def ndcg(found: Sequence[str], grades: Mapping[str, int]) -> float:
    """nDCG of the first ten, with the grade as gain and log2(rank + 1) as discount.

    Source: Järvelin and Kekäläinen, Cumulated gain-based evaluation of IR techniques, ACM
    Transactions on Information Systems 20 (2002), in the form that trec_eval computes.
    """
    ideal = _gain(sorted(grades.values(), reverse=True))
    return _gain([grades.get(card, 0) for card in found]) / ideal


def _gain(grades: Sequence[int]) -> float:
    return sum(grade / math.log2(rank + 1) for rank, grade in enumerate(grades[:DEPTH], 1))


def questions() -> list[Judged]:
    """All judged questions."""
    rows = yaml.safe_load(QUESTIONS.read_text("utf-8"))
    return [
        Judged(
            row["ask"],
            {card: grade for name, grade in GRADES.items() for card in row.get(name, ())},
        )
        for row in rows
    ]


def answers() -> list[Answered]:
    """Asks every question of the starter library, over an index made for it."""
    with tempfile.TemporaryDirectory(prefix="lowshelf-relevance-") as data:
        paths = LibraryPaths(ROOT, Path(data))
        index = SearchIndex(paths, CardFolder(paths))
        index.refresh()
        vocabulary = vocabulary_of(index.view, domain_words(head_start().goals))
        return [
            Answered(
                judged, tuple(hit.card.id for hit in answer(asked, index.view, limit=DEPTH).hits)
            )
            for judged in questions()
            for asked in [read_asked({"q": judged.ask}, vocabulary, None, None)]
        ]


def mean_ndcg(answered: Sequence[Answered]) -> float:
    """Mean nDCG over questions."""
    return sum(each.ndcg for each in answered) / len(answered)


def share_right_early(answered: Sequence[Answered]) -> float:
    """Share of questions with a best card among the first three."""
    return sum(each.is_right_early for each in answered) / len(answered)


def report(answered: Sequence[Answered], *, each: bool) -> Iterator[str]:
    """The figures, with each question from the worst to the best if wanted."""
    for one in sorted(answered, key=lambda one: one.ndcg) if each else ():
        mark = " " if one.is_right_early else "!"
        yield f"{mark} {one.ndcg:.2f}  {one.judged.ask}: {', '.join(one.found[:5]) or 'nothing'}"
    yield f"questions                              {len(answered)}"
    yield f"nDCG@{DEPTH}                                {mean_ndcg(answered):.3f}"
    yield f"a best card among the first three      {share_right_early(answered):.3f}"


if __name__ == "__main__":
    sys.stdout.write("\n".join(report(answers(), each="--each" in sys.argv)) + "\n")
