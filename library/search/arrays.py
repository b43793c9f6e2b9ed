r"""The index as plain arrays: what makes a search take less than a millisecond.

The index on disk (``index.py``) is the truth; these arrays are taken from it in bulk, written to one
file, mapped into memory and thrown away at will. They hold a set of cards that never changes; what
changed since stands in a second, small set (see ``view.py``). Documents are numbered in the order
of their ids, so that equals come out in that order.

::

    word lists                                      a list is a stretch of two long arrays
      terms   "=spray bottle" "bottl" "cut" …         docs   0 4 9 | 4 | 1 2 4 7 9 | …   ascending
      starts   0               3       4   …          marks  81 9 9 | 7 | 9 3 3 1 8 | …   1…16383
      counts   3               1       5   …          (how much of a full mark the word earns there)

    heavy       a term in over an eighth of the documents has no list but a row with a mark for every
                document: adding up a whole row takes a fifth of the time of picking so many places

    beginnings  "s" "sp" "st" …   the lists of all words that begin so, made one beforehand,
                                  where making it for each letter typed would take too long

    forms       "cut" "cutting" "cuts" …            the words as they are written, sorted:
      stems       2     2        2                    number of the term each one counts for
      uses        14    3        1                    number of cards that have it

    tags        "centers:water" "materials:hand sponge" …   lists without marks
    titles      "sponge rain" "wet tracks" …        lists too; with all words that stand in titles
    numbers     prep 5 10 0 … · ages_low 24 18 36 … · changed …         one entry a document
    shown       {"id":"sponge-rain",…}{"id":…   ┐   bytes, with an array of starts;
    texts       Wet sponges rain.\nChildren…    ┘   only what is on the page is ever decoded

A filter is a boolean column over all documents; the columns of the last filters are kept. The counts
are bits: one row a value, 64 documents a word, and counting is "and" and population count.
"""

from __future__ import annotations

import json
import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from library.search.analysis import fold, stem
from library.search.titles import title_key, title_words

Ints: TypeAlias = NDArray[np.integer[Any]]
Mask: TypeAlias = NDArray[np.bool_]
Bits: TypeAlias = NDArray[np.uint64]

K1 = 1.2
B = 0.75
"""BM25's two constants at their usual values: how soon more of a word stops counting, and how much a
long card is held against it. Source: Robertson and Zaragoza, The Probabilistic Relevance
Framework: BM25 and Beyond (2009), section 3.5, for the form and the range of both."""
FULL_MARK = 16_383
"""What a word earns in a card that says nothing else, as a whole number: sums of whole numbers do not
depend on the order in which they are added, so that every way to search ties alike."""
RARITY_STEPS = 128
LONG_UNION = 4_096
"""Postings from which on the list of a beginning is made beforehand."""
MANY_FORMS = 256
"""Forms from which on marking their terms takes less time than sorting them."""
HEAVY_SHARE = 8
MOST_COLUMNS = 128


class Damaged(Exception):  # noqa: N818 - named like the library's own errors
    """What is kept on disk is not whole. It can be made anew from the files."""


def rarity(documents: int, holding: int) -> int:
    """What a word of a question weighs: more, the fewer documents hold it; at least 1.

    BM25's idf, log(1 + (N - n + 0.5) / (n + 0.5)), in steps of 1/128.
    Source: Robertson and Zaragoza (2009), with the 1 that keeps it positive.
    """
    held = min(holding, documents)
    return max(1, round(RARITY_STEPS * math.log(1 + (documents - held + 0.5) / (held + 0.5))))


def mark_of(weight: float, length: float, average: float) -> int:
    """What a word earns in one document: BM25's saturation of its weight, from 1 to 16383.

    The weight is the sum over the fields, so that a title counts more but saturates with the rest.
    Source: Robertson, Zaragoza and Taylor, Simple BM25 Extension to Multiple Weighted Fields (2004).
    """
    scaled = weight / (weight + K1 * (1 - B + B * (length / average)))
    return max(1, round(FULL_MARK * scaled))


@dataclass(slots=True)
class Lists:
    """Sorted names, each with a list of documents."""

    names: list[str]
    starts: Ints
    """One more than there are names."""
    docs: Ints
    marks: NDArray[Any]
    """Weights in what was taken from the index, marks of 1 to 16383 in arrays; empty for tags."""


@dataclass(eq=False)
class Heavy:
    """The longest of some lists as rows of marks, one entry a document."""

    numbers: Ints
    """Numbers of the names whose rows these are, ascending."""
    rows: NDArray[np.uint16]

    def row(self, number: int) -> NDArray[np.uint16] | None:
        """The row of a name, or None if it has none."""
        place = self._places.get(number)
        return None if place is None else self.rows[place]

    @cached_property
    def _places(self) -> dict[int, int]:
        return {number: place for place, number in enumerate(self.numbers.tolist())}


@dataclass(slots=True)
class Taken:
    """Everything that one segment of the index holds, as it was taken from there."""

    ids: list[str]
    titles: list[str]
    shown: list[bytes]
    texts: list[bytes]
    forms: list[str]
    """For each document the words as they are written, with blanks between."""
    numbers: Mapping[str, Ints]
    words: Lists
    tags: Lists

    def __len__(self) -> int:
        return len(self.ids)


@dataclass(eq=False)
class Arrays:
    """A set of documents that does not change; see the picture above."""

    size: int
    """Number of documents."""
    counted: int
    """Number of documents that the counts of words were taken over, replaced ones included."""
    average: float
    """Average length of a document when the marks were made."""
    words: Lists
    counts: Ints
    heavy: Heavy
    beginnings: Lists
    heavy_beginnings: Heavy
    forms: list[str]
    form_stems: Ints
    form_uses: Ints
    tags: Lists
    numbers: Mapping[str, Ints]
    title_order: Ints
    titles: Lists
    """The keys of titles with the documents that are called so; no marks."""
    title_words: list[str]
    """Words of titles, as written and in the singular, sorted."""
    ids: list[str]
    shown_starts: Ints
    shown: memoryview
    text_starts: Ints
    texts: memoryview
    _columns: dict[Hashable, Mask] = field(default_factory=dict, repr=False)
    _kept: dict[str, Any] = field(default_factory=dict, repr=False)

    @property
    def width(self) -> int:
        """Length of every column: the size, rounded up to whole words of 64 bits."""
        return width_of(self.size)

    # --- words

    @cached_property
    def term_numbers(self) -> dict[str, int]:
        """Term → its number."""
        return {term: number for number, term in enumerate(self.words.names)}

    def holding(self, term: str) -> int:
        """In how many documents a term stands, replaced ones included."""
        number = self.term_numbers.get(term)
        return 0 if number is None else int(self.counts[number])

    def documents(self, term: str) -> Ints:
        """The documents that hold a term."""
        number = self.term_numbers.get(term)
        if number is None:
            return self.words.docs[:0]
        row = self.heavy.row(number)
        if row is not None:
            return np.flatnonzero(row)
        return self.words.docs[self.words.starts[number] : self.words.starts[number + 1]]

    def add_term(self, scores: Ints, term: str, weight: int) -> None:
        """Adds what a term earns to the scores of the documents that hold it."""
        number = self.term_numbers.get(term)
        if number is not None:
            self._add(scores, self.words, self.heavy, number, weight)

    def stems_beginning(self, letters: str) -> Ints:
        """Numbers of the terms of all words that begin with some letters."""
        low = bisect_left(self.forms, letters)
        if low == len(self.forms) or not self.forms[low].startswith(letters):
            return self.form_stems[:0]
        high = bisect_left(self.forms, letters + "\U0010ffff", low)
        stems = self.form_stems[low:high]
        if stems.size < MANY_FORMS:
            return np.array(sorted(set(stems.tolist())), dtype=stems.dtype)
        there = np.zeros(len(self.words.names), dtype=np.bool_)
        there[stems] = True
        return np.flatnonzero(there)

    def add_beginning(self, scores: Ints, letters: str, numbers: Ints | None, weight: int) -> None:
        """Adds, for each document, what the best of some words earns there.

        Args:
            scores: What the documents have earned so far.
            letters: What the words begin with.
            numbers: Their terms; None: those of :meth:`stems_beginning`.
            weight: What a full mark is worth.
        """
        place = bisect_left(self.beginnings.names, letters)
        if numbers is None and self.beginnings.names[place : place + 1] == [letters]:
            self._add(scores, self.beginnings, self.heavy_beginnings, place, weight)
            return
        numbers = self.stems_beginning(letters) if numbers is None else numbers
        best = _best_marks(self.words, self.heavy, numbers, self.width)
        scores += best * scores.dtype.type(weight)

    @staticmethod
    def _add(scores: Ints, lists: Lists, heavy: Heavy, number: int, weight: int) -> None:
        row = heavy.row(number)
        if row is not None:
            scores += row * scores.dtype.type(weight)
            return
        start, end = lists.starts[number], lists.starts[number + 1]
        earned = lists.marks[start:end] * scores.dtype.type(weight)
        np.add.at(scores, lists.docs[start:end], earned)

    def forms_of(self, term: str) -> list[str]:
        """The words as written that count for a term."""
        number = self.term_numbers.get(term)
        if number is None:
            return []
        places, starts = self._forms_by_stem
        return [self.forms[place] for place in places[starts[number] : starts[number + 1]].tolist()]

    @cached_property
    def _forms_by_stem(self) -> tuple[Ints, Ints]:
        """The places of all forms by their terms, and where those of each term start."""
        places = np.argsort(self.form_stems, kind="stable").astype(np.int32)
        starts = np.zeros(len(self.words.names) + 1, dtype=np.int32)
        np.cumsum(np.bincount(self.form_stems, minlength=starts.size - 1), out=starts[1:])
        return places, starts

    # --- filters

    def column(self, key: Hashable, make: Callable[[], Mask]) -> Mask:
        """The column that was made under a key before, or is made now. It must not be changed."""
        found = self._columns.get(key)
        if found is None:
            if len(self._columns) >= MOST_COLUMNS:
                self._columns.clear()
            found = self._columns[key] = make()
        return found

    def kept(self, key: str, make: Callable[[], Any]) -> Any:
        """What is made once of these arrays and stays with them."""
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]

    def tagged(self, field_name: str, value: str) -> Ints:
        """The documents that have an exact value in a field."""
        name = f"{field_name}:{value}"
        place = bisect_left(self.tags.names, name)
        if place == len(self.tags.names) or self.tags.names[place] != name:
            return self.tags.docs[:0]
        return self.tags.docs[self.tags.starts[place] : self.tags.starts[place + 1]]

    def values(self, field_name: str) -> list[str]:
        """All exact values in a field."""
        low = bisect_left(self.tags.names, f"{field_name}:")
        high = bisect_left(self.tags.names, f"{field_name};", low)
        return [name[len(field_name) + 1 :] for name in self.tags.names[low:high]]

    def everything(self) -> Mask:
        """A new column that is true for every document."""
        column = np.zeros(self.width, dtype=np.bool_)
        column[: self.size] = True
        return column

    # --- what is stored

    def show(self, document: int) -> dict[str, Any]:
        """What a hit shows of a document."""
        start, end = self.shown_starts[document], self.shown_starts[document + 1]
        shown: dict[str, Any] = _read_json(str(self.shown[start:end], "utf-8"))[0]
        return shown

    def text(self, document: int) -> str:
        """The sentences of a document, one a line."""
        start, end = self.text_starts[document], self.text_starts[document + 1]
        return str(self.texts[start:end], "utf-8")

    def number_of(self, card_id: str) -> int | None:
        """The document of a card."""
        place = bisect_left(self.ids, card_id)
        return place if place < len(self.ids) and self.ids[place] == card_id else None


_read_json = json.JSONDecoder().raw_decode
"""Reads JSON without looking for blanks around it, since there are none in what is kept here."""


def width_of(size: int) -> int:
    """Length of a column over so many documents: whole words of 64 bits."""
    return -(-size // 64) * 64


def best_documents(keys: Ints, most: int) -> Ints:
    """The documents with the greatest keys, greatest first, equals by number; 0 is no key.

    Over many documents the greatest key of each of some blocks gives a bound first: the ``most``-th
    greatest of these is reached by at least ``most`` documents. Methods are called instead of numpy's
    functions of the same names, which wrap them in Python and cost as much again when first touched.
    """
    if most <= 0:
        return np.zeros(0, dtype=np.int64)
    bound = 1
    if keys.size >= 8_192 and most <= keys.size // 128:
        tops = np.maximum.reduce(keys.reshape(64, -1))
        tops.partition(-most)
        bound = max(1, int(tops[-most]))
    (found,) = (keys >= bound).nonzero()
    if found.size > 4 * most:
        values = keys[found]
        least = np.partition(values, -most)[-most]
        above, equal = found[values > least], found[values == least]
        found = np.concatenate((above, equal[: most - above.size]))
    return found[(-keys[found]).argsort(kind="stable")[:most]]


def best_by_two(first: Ints, second: Ints, match: Mask, most: int) -> Ints:
    """The matches with the greatest first number, of equals the greatest second, then by number."""
    found = np.flatnonzero(match)
    if found.size > most > 0:
        values = first[found]
        found = found[values >= np.partition(values, -most)[-most]]
    return found[np.lexsort((found, -second[found], -first[found]))][:most]


def pack(column: Mask) -> Bits:
    """A column as bits, 64 documents a word."""
    return np.packbits(column, bitorder="little").view(np.uint64)


def count_rows(rows: Bits, bits: Bits) -> Ints:
    """For each row how many documents it shares with some bits."""
    numbers: Ints = np.add.reduce(np.bitwise_count(rows & bits), axis=1, dtype=np.uint32)
    return numbers


# --- making


def combine(parts: Sequence[Taken], alive: Sequence[Mask], average: float | None = None) -> Arrays:
    """Makes arrays of everything that was taken from some segments.

    Args:
        parts: The segments.
        alive: For each segment which of its documents still count.
        average: Average length to make the marks with; None: that of these documents.
    """
    places = _places(parts, alive)
    order = places.order
    numbers = {
        name: np.concatenate([part.numbers[name] for part in parts])[order]
        for name in (parts[0].numbers if parts else ())
    }
    lengths = numbers.get("length", np.zeros(0)) / 4
    mean = average or (float(lengths.mean()) if lengths.size else 0.0) or 1.0
    norms = K1 * (1 - B + B * (lengths / mean))
    words, counts = _combined_lists([part.words for part in parts], places, norms)
    forms, stems, uses = _forms(parts, places, words.names)
    titles = [title for part in parts for title in part.titles]
    keys = [fold(titles[place]) for place in order]
    called = [titles[place] for place in order]
    by_title = sorted(range(len(order)), key=lambda number: (keys[number], number))
    title_order = np.empty(len(order), dtype=np.int32)
    title_order[by_title] = np.arange(len(order), dtype=np.int32)
    ids = [card_id for part in parts for card_id in part.ids]
    shown, shown_starts = _joined([text for part in parts for text in part.shown], order)
    texts, text_starts = _joined([text for part in parts for text in part.texts], order)
    words, heavy = _parted(words, len(order))
    beginnings, heavy_beginnings = _parted(
        _beginnings(words, heavy, forms, stems, len(order)), len(order)
    )
    return Arrays(
        size=len(order),
        counted=sum(len(part) for part in parts),
        average=mean,
        words=words,
        counts=counts,
        heavy=heavy,
        beginnings=beginnings,
        heavy_beginnings=heavy_beginnings,
        forms=forms,
        form_stems=stems,
        form_uses=uses,
        tags=_combined_lists([part.tags for part in parts], places)[0],
        numbers=numbers,
        title_order=title_order,
        titles=_titles(called),
        title_words=sorted(title_words(called)),
        ids=[ids[place] for place in order],
        shown_starts=shown_starts,
        shown=shown,
        text_starts=text_starts,
        texts=texts,
    )


@dataclass(slots=True)
class _Places:
    """Where the documents of some segments go."""

    starts: list[int]
    """First place of each segment when they stand one behind the other."""
    order: Ints
    """Places of the documents that count, ordered by id."""
    numbers: Ints
    """New number of each place, -1 where the document does not count any more."""


def _places(parts: Sequence[Taken], alive: Sequence[Mask]) -> _Places:
    starts = [0]
    for part in parts:
        starts.append(starts[-1] + len(part))
    ids = [card_id for part in parts for card_id in part.ids]
    counting = np.flatnonzero(np.concatenate([*alive, np.zeros(0, dtype=np.bool_)]))
    order = np.array(sorted(counting.tolist(), key=ids.__getitem__), dtype=np.int64)
    numbers = np.full(starts[-1], -1, dtype=np.int64)
    numbers[order] = np.arange(order.size)
    return _Places(starts, order, numbers)


def _combined_lists(
    lists: Sequence[Lists], places: _Places, norms: NDArray[np.float64] | None = None
) -> tuple[Lists, Ints]:
    """One set of lists with new document numbers, and how long each was before any was dropped.

    Name by name, so that besides what comes in and goes out hardly any memory is needed.

    Args:
        lists: Those of each segment.
        places: Where documents go.
        norms: For each document what BM25 adds below the line; None: there are no weights.
    """
    names = sorted({name for each in lists for name in each.names})
    found = [{name: place for place, name in enumerate(each.names)} for each in lists]
    size = sum(each.docs.size for each in lists)
    docs = np.empty(size, dtype=np.int32)
    marks = np.empty(0 if norms is None else size, dtype=np.uint16)
    starts = np.zeros(len(names) + 1, dtype=np.int64)
    counts = np.zeros(len(names), dtype=np.int32)
    end = 0
    for number, name in enumerate(names):
        held, weights = _pieces(name, lists, found, places)
        counts[number] = held.size
        order = np.argsort(held)
        order = order[np.searchsorted(held, 0, sorter=order) :]
        start, end = end, end + order.size
        docs[start:end] = held[order]
        if norms is not None:
            marks[start:end] = _marks(weights[order], norms[docs[start:end]])
        starts[number + 1] = end
    return Lists(names, starts, docs[:end].copy(), marks[:end].copy()), counts


def _pieces(
    name: str, lists: Sequence[Lists], found: Sequence[Mapping[str, int]], places: _Places
) -> tuple[Ints, NDArray[Any]]:
    """The documents of a name in all segments by their new numbers, -1 for dropped; and weights."""
    docs, weights = [], []
    for each, place_of, first in zip(lists, found, places.starts, strict=False):
        place = place_of.get(name)
        if place is not None:
            start, end = each.starts[place], each.starts[place + 1]
            docs.append(places.numbers[first + each.docs[start:end]])
            weights.append(each.marks[start:end])
    return np.concatenate(docs), np.concatenate(weights)


def _marks(weights: NDArray[Any], norms: NDArray[np.float64]) -> NDArray[np.uint16]:
    """:func:`mark_of` for many at once, with the same steps in the same order."""
    exact = weights.astype(np.float64)
    scaled = exact / (exact + norms)
    return np.maximum(1, np.rint(FULL_MARK * scaled)).astype(np.uint16)


def _forms(
    parts: Sequence[Taken], places: _Places, terms: list[str]
) -> tuple[list[str], Ints, Ints]:
    uses: Counter[str] = Counter()
    place = 0
    for part in parts:
        for text in part.forms:
            if places.numbers[place] >= 0:
                uses.update(text.split())
            place += 1
    number_of = {term: number for number, term in enumerate(terms)}
    forms = sorted(form for form in uses if stem(form) in number_of)
    stems = np.array([number_of[stem(form)] for form in forms], dtype=np.int32)
    return forms, stems, np.array([uses[form] for form in forms], dtype=np.int32)


def _titles(called: Sequence[str]) -> Lists:
    """The keys of titles with the documents that are called so."""
    found: dict[str, list[int]] = {}
    for document, title in enumerate(called):
        found.setdefault(title_key(title), []).append(document)
    names = sorted(name for name in found if name)
    starts = np.zeros(len(names) + 1, dtype=np.int64)
    starts[1:] = np.cumsum([len(found[name]) for name in names], dtype=np.int64)
    docs = [document for name in names for document in found[name]]
    return Lists(names, starts, np.array(docs, np.int32), np.zeros(0, np.uint16))


def _beginnings(words: Lists, heavy: Heavy, forms: list[str], stems: Ints, size: int) -> Lists:
    """The lists of those beginnings of one to three letters whose words have long lists together."""
    lengths = np.diff(words.starts)
    lengths[heavy.numbers] = size
    names, starts, docs, marks = [], [0], [np.zeros(0, np.int32)], [np.zeros(0, np.uint16)]
    for letters in sorted({form[:n] for form in forms for n in (1, 2, 3)}):
        low = bisect_left(forms, letters)
        numbers = np.unique(stems[low : bisect_left(forms, letters + "\U0010ffff", low)])
        if lengths[numbers].sum() < LONG_UNION:
            continue
        best = _best_marks(words, heavy, numbers, width_of(size))
        found = np.flatnonzero(best)
        names.append(letters)
        starts.append(starts[-1] + found.size)
        docs.append(found.astype(np.int32))
        marks.append(best[found])
    return Lists(names, np.array(starts, np.int64), np.concatenate(docs), np.concatenate(marks))


def _parted(lists: Lists, size: int) -> tuple[Lists, Heavy]:
    """The lists with those emptied that hold over an eighth of the documents, and these as rows."""
    width, lengths = width_of(size), np.diff(lists.starts)
    is_heavy = lengths > max(width // HEAVY_SHARE, LONG_UNION)
    numbers = np.flatnonzero(is_heavy)
    rows = np.zeros((numbers.size, width), dtype=np.uint16)
    for row, number in zip(rows, numbers, strict=True):
        start, end = lists.starts[number], lists.starts[number + 1]
        row[lists.docs[start:end]] = lists.marks[start:end]
    stay = np.repeat(~is_heavy, lengths)
    starts = np.zeros(lists.starts.size, dtype=np.int64)
    np.cumsum(np.where(is_heavy, 0, lengths), out=starts[1:])
    light = Lists(lists.names, starts, lists.docs[stay], lists.marks[stay])
    return light, Heavy(numbers.astype(np.int32), rows)


def _best_marks(words: Lists, heavy: Heavy, numbers: Ints, width: int) -> NDArray[np.uint16]:
    """For each document the greatest mark that any of some terms earns there."""
    best = np.zeros(width, dtype=np.uint16)
    stretches = []
    starts, ends = words.starts[numbers].tolist(), words.starts[numbers + 1].tolist()
    for number, start, end in zip(numbers.tolist(), starts, ends, strict=True):
        row = heavy.row(number)
        if row is None:
            stretches.append(slice(start, end))
        else:
            np.maximum(best, row, out=best)
    if stretches:
        docs = np.concatenate([words.docs[each] for each in stretches])
        marks = np.concatenate([words.marks[each] for each in stretches])
        np.maximum.at(best, docs, marks)
    return best


def _joined(texts: Sequence[bytes], order: Ints) -> tuple[memoryview, Ints]:
    chosen = [texts[place] for place in order]
    starts = np.zeros(len(chosen) + 1, dtype=np.int64)
    starts[1:] = np.cumsum([len(text) for text in chosen], dtype=np.int64)
    return memoryview(b"".join(chosen)), starts


def check(arrays: Arrays) -> bool:
    """Whether the arrays hang together, so that no search can fall out of them."""
    lists = (arrays.words, arrays.beginnings, arrays.tags, arrays.titles)
    return (
        all(len(each.names) + 1 == each.starts.size for each in lists)
        and all(int(each.starts[-1]) == each.docs.size for each in lists)
        and all(each.marks.size in (0, each.docs.size) for each in lists)
        and all(
            each.rows.shape == (each.numbers.size, arrays.width)
            for each in (arrays.heavy, arrays.heavy_beginnings)
        )
        and all(column.size == arrays.size for column in arrays.numbers.values())
        and len(arrays.forms) == arrays.form_stems.size == arrays.form_uses.size
        and len(arrays.ids) == arrays.size == arrays.title_order.size
        and all(a <= b for a, b in pairwise((arrays.size, arrays.counted)))
    )
