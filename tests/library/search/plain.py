"""The same search by Whoosh's own searcher, and filters by plain Python over cards: two ways to check."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

from whoosh import query, scoring
from whoosh.index import open_dir

from library.cards.card import Card
from library.cards.values import Place, Status
from library.materials.material import MaterialBook
from library.search.analysis import fold
from library.search.arrays import mark_of
from library.search.asking import Asked, ask
from library.search.conditions import Conditions
from library.search.filters import Overlaps, Tagged, demands_of, requirements_of
from library.search.postings import schema
from library.search.view import View


class Marks(scoring.WeightingModel):
    """BM25F with the project's constants, one posting at a time."""

    def __init__(self, average: float) -> None:
        self._average = average

    def scorer(self, searcher: Any, fieldname: str, text: bytes, qf: int = 1) -> Any:
        return _Scorer(searcher.reader().column_reader("length"), self._average)


class _Scorer(scoring.BaseScorer):
    def __init__(self, lengths: Any, average: float) -> None:
        self._lengths = lengths
        self._average = average

    def score(self, matcher: Any) -> float:
        return float(mark_of(matcher.weight(), self._lengths[matcher.id()] / 4, self._average))

    def max_quality(self) -> float:
        return 1e9


def search_plainly(
    folder: Path, view: View, conditions: Conditions, words: str, *, typing: bool = False
) -> list[tuple[str, int]]:
    """Ids and scores of all matches, best first, equals by id, by Whoosh's searcher.

    What is asked for and how much each term weighs is worked out by the project; finding, scoring
    and adding up is Whoosh's.
    """
    asked = ask(words, view, typing=typing)
    demands = demands_of(conditions, view.book)
    required = query.And([_query(each) for each in requirements_of(conditions, demands)])
    average = view.parts[0].arrays.average
    scores: Counter[str] = Counter()
    with open_dir(folder, schema=schema()).searcher(weighting=Marks(average)) as searcher:

        def scored(wanted: Any) -> dict[str, int]:
            found = searcher.search(wanted, filter=required, limit=None)
            return {hit["kept"]["id"]: int(hit.score) for hit in found}

        terms = [query.Term("words", term, boost=weight) for term, weight in asked.terms]
        scores.update(scored(query.Or(terms)))
        best: dict[str, int] = {}
        for term, weight in _expanded(
            asked, view
        ):  # Whoosh's DisjunctionMax adds other cards' scores
            for card_id, score in scored(query.Term("words", term, boost=weight)).items():
                best[card_id] = max(score, best.get(card_id, 0))
        scores.update(best)
    return sorted(scores.items(), key=lambda hit: (-hit[1], hit[0]))


def _expanded(asked: Asked, view: View) -> list[tuple[str, int]]:
    """The terms of the words that the last word may become."""
    if asked.beginning is None:
        return []
    words, weight = asked.beginning
    found = {
        part.arrays.words.names[number]
        for part, numbers in zip(view.parts, words.terms, strict=True)
        for number in numbers
    }
    return [(term, weight) for term in sorted(found)]


def _query(requirement: Any) -> Any:
    if isinstance(requirement, Tagged):
        make = query.Prefix if requirement.beginnings else query.Term
        exact = [query.Term(requirement.field, value) for value in requirement.values]
        longer = [
            make(requirement.field, value + "-" * requirement.beginnings)
            for value in requirement.values
        ]
        found = query.Or([*exact, *longer])
        if requirement.or_none:
            found = query.Or([found, query.Not(query.Every(requirement.field))])
        return found if requirement.wanted else query.And([query.Every(), query.Not(found)])
    if isinstance(requirement, Overlaps):
        return query.And([
            query.NumericRange(requirement.low, None, requirement.most),
            query.NumericRange(requirement.high, requirement.least, None),
        ])  # fmt: skip
    raise TypeError(f"no query for {requirement}")


def meets(card: Card, conditions: Conditions, book: MaterialBook, stock: set[str]) -> bool:
    """Whether a card meets some conditions, by its own values."""
    used = {book.main_name(line.item).casefold() for line in card.materials}
    contained = {a for item in used if (known := book.find(item)) for a in known.allergens}
    owned = {book.main_name(item).casefold() for item in (*stock, "water")}
    low, high = card.ages.low, card.ages.high if card.ages.high is not None else 10_000
    codes = [code.upper() for code in card.domains]
    asked = conditions
    return all([
        card.status is Status(asked.status or "ready"),
        asked.prep_max is None or card.prep <= asked.prep_max,
        asked.prep_min is None or card.prep >= asked.prep_min,
        asked.age_months is None or low <= asked.age_months <= high,
        asked.age_range is None or (low <= asked.age_range[1] and high >= asked.age_range[0]),
        not asked.centers or set(asked.centers) & set(card.centers),
        asked.place is None or card.place in (Place(asked.place), Place.EITHER),
        asked.season is None or not card.seasons or asked.season in card.seasons,
        asked.group is None or (card.group and card.group.low <= asked.group <= card.group.high),
        asked.mess_max is None or card.mess <= asked.mess_max,
        asked.adult is None or card.adult == asked.adult,
        asked.technique is None or fold(card.technique) == fold(asked.technique),
        not asked.domains
        or any(c == d or c.startswith(f"{d}-") for c in codes for d in asked.domains),
        all({name.casefold() for name in group} & used for group in asked.with_),
        all(name.casefold() not in used | contained for name in asked.without),
        not asked.on_hand or used <= owned,
    ])  # fmt: skip


def order_by_title(cards: list[Card], conditions: Conditions) -> list[str]:
    """Ids in the order of a search without words: those that cover the range, then by title."""

    def key(card: Card) -> tuple[bool, str, str]:
        covers = True
        if conditions.age_range:
            low, high = conditions.age_range
            covers = card.ages.low <= low and (card.ages.high is None or card.ages.high >= high)
        return (not covers, fold(card.title), card.id)

    return [card.id for card in sorted(cards, key=key)]
