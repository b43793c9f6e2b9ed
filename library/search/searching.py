"""One search: what matches, in which order, what each hit shows, and all counts."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import combinations, repeat
from typing import Any, Literal, NamedTuple, TypeAlias

import numpy as np

from library.search.analysis import fold
from library.search.arrays import (
    FULL_MARK,
    RARITY_STEPS,
    Arrays,
    Ints,
    Mask,
    best_by_two,
    best_documents,
    pack,
)
from library.search.asking import Asked, ask
from library.search.conditions import Conditions
from library.search.facets import FACETS, count
from library.search.filters import (
    Demand,
    column,
    columns,
    covering,
    demands_of,
    requirements_of,
)
from library.search.snippets import Readied, Segment, Wanted, highlight, readied
from library.search.view import Part, View

Sort: TypeAlias = Literal["fit", "prep", "newest"]
MOST_RELAXATIONS = 3
_FULL_SCORE = FULL_MARK * RARITY_STEPS
MOST_ROWS = 2_000
"""Cards of which what is shown stays unpacked, some 10 MB."""


class Shown(NamedTuple):
    """What a page shows of a card that matches, the same for every question."""

    id: str
    title: str
    summary: str
    file: str
    centers: tuple[str, ...]
    prep: int
    ages: str
    group: str
    adult: str
    mess: int
    place: str
    seasons: tuple[str, ...]
    technique: str
    materials: tuple[str, ...]
    status: str


class Hit(NamedTuple):
    """One match; a tuple, since one is made a hundred times a keystroke."""

    card: Shown
    title: tuple[Segment, ...]
    """The title with what was looked for marked."""
    snippet: tuple[Segment, ...]
    """The sentence that matched; empty where only other fields did."""
    score: float
    """How well it fits; 0 where no words were looked for. Only for comparing within one search."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Conditions whose removal would give something where nothing was found."""

    removed: tuple[tuple[str, Any], ...]
    """Attribute of the conditions and what was said, one or two of them."""
    conditions: Conditions
    """What is left."""
    total: int
    """Matches with what is left."""


@dataclass(frozen=True, slots=True)
class SearchResult:
    """What a search found."""

    total: int
    """All matches, not only those listed."""
    hits: tuple[Hit, ...]
    counts: dict[str, dict[str, int]] = field(default_factory=dict)
    """Facet → value → matches if that value were chosen."""
    words: str = ""
    """The words that were looked for, corrections in place."""
    did_you_mean: str | None = None
    """The words corrected, if one of them matched nothing; everything here is the corrected search's."""
    relaxations: tuple[Relaxation, ...] = ()
    """Only where nothing was found."""


@dataclass(frozen=True, slots=True)
class _Found:
    """What one part of the view contributes."""

    part: Part
    scores: Ints | None
    """None where no words are looked for: then everything there is may match."""

    def matching(self, demands: Iterable[Demand], conditions: Conditions) -> Mask:
        required = requirements_of(conditions, demands)
        met = columns(self.part.arrays, self.part.alive, required)
        return met if self.scores is None else met & (self.scores > 0)


def search(
    view: View,
    conditions: Conditions,
    words: str = "",
    limit: int = 20,
    stock: Collection[str] = (),
    *,
    sort: Sort = "fit",
    typing: bool = False,
) -> SearchResult:
    """Searches the cards.

    Any word may match, and cards that match more and rarer words come first; without words they
    come by title. Cards whose ages cover all of a range that was asked for come before others.

    Args:
        view: The cards.
        conditions: What must hold. Drafts match only where their status is asked for.
        words: What is looked for.
        limit: How many hits to list.
        stock: Names of what is on hand, for the condition ``on_hand``; water comes from the tap.
        sort: By fit, by least prep, or newest first (time of the file).
        typing: Whether the last word is still being written.

    Returns:
        Hits, total and counts. The same view and question give the same result.
    """
    return answer(view, ask(words, view, typing=typing), conditions, limit, stock, sort)


def answer(
    view: View,
    asked: Asked,
    conditions: Conditions,
    limit: int = 20,
    stock: Collection[str] = (),
    sort: Sort = "fit",
) -> SearchResult:
    """Searches for words that have been read already; else as :func:`search`."""
    scores = [None] * len(view.parts) if asked.is_empty else asked.scores(view)
    found = [_Found(*each) for each in zip(view.parts, scores, strict=True)]
    demands = demands_of(conditions, view.book, stock)
    matches = [each.matching(demands, conditions) for each in found]
    total = sum(int(np.count_nonzero(match)) for match in matches)
    ranked = _ranked(found, matches, conditions, sort, limit)
    wanted = asked.wanted(view) if ranked else []
    return SearchResult(
        total=total,
        hits=tuple([_hit(*place, wanted) for place in ranked]),
        counts=_counts(found, matches, demands, conditions),
        words=asked.text,
        did_you_mean=asked.did_you_mean,
        relaxations=() if total else _relaxations(found, demands, conditions),
    )


_Place: TypeAlias = tuple[Part, int, int]
"""Where a hit stands: its part and document, with its score."""


def _ranked(
    found: Sequence[_Found],
    matches: Sequence[Mask],
    conditions: Conditions,
    sort: Sort,
    limit: int,
) -> list[_Place]:
    best = [
        (each, _best(each, match, conditions, sort, limit))
        for each, match in zip(found, matches, strict=True)
    ]
    filled = [(each, documents) for each, documents in best if documents]
    if len(filled) == 1:
        ((only, documents),) = filled
        scores = [0] * len(documents) if only.scores is None else only.scores[documents].tolist()
        return list(zip(repeat(only.part), documents, scores))
    places = [
        (_order(each, document, conditions, sort), each, document)
        for each, documents in best
        for document in documents
    ]
    places.sort(key=lambda place: place[0])
    return [(each.part, document, _score(each, document)) for _, each, document in places[:limit]]


def _score(found: _Found, document: int) -> int:
    return 0 if found.scores is None else int(found.scores[document])


def _best(found: _Found, match: Mask, conditions: Conditions, sort: Sort, limit: int) -> list[int]:
    """The documents of one part that may be among the hits, in their order."""
    arrays = found.part.arrays
    fit = _title_fit(arrays) if found.scores is None else found.scores
    if sort == "fit":
        covers = covering(conditions)
        groups = [match]
        if covers is not None:
            whole = column(arrays, covers)
            groups = [match & whole, match & ~whole]
        best: list[int] = []
        for group in groups:
            best += best_documents(fit * group, limit - len(best)).tolist()
        return best
    numbers = -arrays.numbers["prep"] if sort == "prep" else arrays.numbers["changed"]
    listed: list[int] = best_by_two(numbers, fit, match, limit).tolist()
    return listed


def _title_fit(arrays: Arrays) -> Ints:
    """A key for every document that is greater the earlier its title comes."""

    def make() -> Ints:
        fit = np.zeros(arrays.width, dtype=np.int32)
        fit[: arrays.size] = arrays.size - arrays.title_order
        return fit

    fit: Ints = arrays.kept("title fit", make)
    return fit


def _order(found: _Found, document: int, conditions: Conditions, sort: Sort) -> tuple[Any, ...]:
    """By what a hit is ordered; it means the same in every part of a view."""
    arrays = found.part.arrays
    first = _first_of(found.part, document, conditions, sort)
    if found.scores is None:
        title = fold(arrays.show(document)["title"])
        return (first, title, arrays.ids[document])
    return (first, -_score(found, document), arrays.ids[document])


def _first_of(part: Part, document: int, conditions: Conditions, sort: Sort) -> int:
    if sort == "prep":
        return int(part.arrays.numbers["prep"][document])
    if sort == "newest":
        return -int(part.arrays.numbers["changed"][document])
    covers = covering(conditions)
    return 0 if covers is None else -int(column(part.arrays, covers)[document])


class _Row(NamedTuple):
    """What is stored of a card, unpacked."""

    card: Shown
    text: Readied


def _row(arrays: Arrays, document: int) -> _Row:
    """What is stored of a document; the last ones stay unpacked, since the same few come again."""
    rows: dict[int, _Row] = arrays.kept("rows", dict)
    row = rows.get(document)
    if row is None:
        if len(rows) >= MOST_ROWS:
            rows.clear()
        row = rows[document] = _unpacked(arrays, document)
    return row


def _unpacked(arrays: Arrays, document: int) -> _Row:
    kept = arrays.show(document)
    shown: dict[str, Any] = {
        name: tuple(v) if isinstance(v, list) else v for name, v in kept.items()
    }
    return _Row(Shown(**shown), readied(kept["title"], arrays.text(document)))


def _hit(part: Part, document: int, score: int, wanted: Sequence[Wanted]) -> Hit:
    row = _row(part.arrays, document)
    title, snippet = highlight(row.text, wanted) if wanted else (row.text.title, ())
    return Hit(row.card, title, snippet, score / _FULL_SCORE)


def _counts(
    found: Sequence[_Found],
    matches: Sequence[Mask],
    demands: Sequence[Demand],
    conditions: Conditions,
) -> dict[str, dict[str, int]]:
    """For every value of every facet the total there would be if it were chosen."""
    chosen = {demand.key for demand in demands}
    free = {
        facet.name: [demand for demand in demands if demand.key not in facet.keys]
        for facet in (FACETS if chosen else ())
        if not chosen.isdisjoint(facet.keys)
    }
    by_part = []
    for each, match in zip(found, matches, strict=True):
        but = {name: pack(each.matching(rest, conditions)) for name, rest in free.items()}
        by_part.append(count(each.part.arrays, pack(match), but))
    return by_part[0] if len(by_part) == 1 else _summed(by_part)


def _summed(by_part: Sequence[dict[str, dict[str, int]]]) -> dict[str, dict[str, int]]:
    counts: dict[str, dict[str, int]] = {facet.name: {} for facet in FACETS}
    for counted in by_part:
        for name, values in counted.items():
            for value, number in values.items():
                counts[name][value] = counts[name].get(value, 0) + number
    return counts


def _relaxations(
    found: Sequence[_Found], demands: Sequence[Demand], conditions: Conditions
) -> tuple[Relaxation, ...]:
    """The one condition whose removal gives most, and others like it; else the same of two."""
    for number in (1, 2):
        relaxed = [
            relaxation
            for removed in combinations(demands, number)
            if (relaxation := _without(found, demands, removed, conditions)).total
        ]
        if relaxed:
            relaxed.sort(key=lambda relaxation: -relaxation.total)
            return tuple(relaxed[:MOST_RELAXATIONS])
    return ()


def _without(
    found: Sequence[_Found],
    demands: Sequence[Demand],
    removed: Sequence[Demand],
    conditions: Conditions,
) -> Relaxation:
    left = conditions
    for demand in removed:
        left = demand.taken_from(left)
    rest = [demand for demand in demands if demand not in removed]
    total = sum(int(np.count_nonzero(each.matching(rest, left))) for each in found)
    return Relaxation(tuple((each.key, each.value) for each in removed), left, total)
