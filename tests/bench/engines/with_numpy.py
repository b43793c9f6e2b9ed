"""Engines that only find and score words; the rest is done with Lowshelf's own columns and counts.

So each shows what its word search is worth when filters, counts, stored fields and snippets are as
fast as we know how to make them.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Any

import bm25s
import numpy as np
import tantivy

from library.search.analysis import stems_of, words_of
from library.search.arrays import Ints
from library.search.searching import answer
from library.search.snippets import Wanted, wanted_forms
from library.search.view import View
from tests.bench.engines.common import HITS, Answer, Ask, Shelf
from tests.bench.engines.lowshelf import counted
from tests.bench.engines.texts import corrections, texts_of

SCALE = 1_000


@dataclass(frozen=True)
class _Scored:
    """What another engine found, in the form in which Lowshelf asks its own arrays."""

    found: Ints
    stems: tuple[str, ...]
    text: str
    is_empty: bool
    did_you_mean: None = None

    def scores(self, view: View) -> list[Ints]:
        return [self.found]

    def wanted(self, view: View) -> list[Wanted]:
        wanted = [wanted_forms(view.forms_of(stem)) for stem in self.stems]
        return [each for each in wanted if each]


class _Engine:
    name = ""
    about = ""

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view
        self._width = shelf.view.parts[0].arrays.width
        self._mended = corrections(shelf.view)

    def search(self, ask: Ask) -> Answer:
        words = self._mended(ask.words, ask.typing)
        if not words_of(words):
            scored: Any = _Scored(np.zeros(self._width, np.int64), (), "", True)
        else:
            scores = self._scores(words, ask.typing)
            scored = _Scored(scores, tuple(dict.fromkeys(stems_of(words))), words, False)
        return counted(answer(self._view, scored, ask.conditions, HITS))

    def _scores(self, words: str, typing: bool) -> Ints:
        raise NotImplementedError


class Fts5WithNumpy(_Engine):
    """SQLite FTS5 for words."""

    name = "SQLite FTS5 + our numpy"
    about = "porter, weighted columns, prefix index"

    def __init__(self, shelf: Shelf) -> None:
        super().__init__(shelf)
        path = shelf.folder / "fts-numpy.sqlite3"
        self._base = sqlite3.connect(path, check_same_thread=False)
        self._base.execute(
            "CREATE VIRTUAL TABLE cards USING fts5(title, technique, materials, body, "
            "content='', tokenize='porter', prefix='1 2 3')"
        )
        rows = [(n, *texts) for n, texts in enumerate(texts_of(shelf.cards))]
        self._base.executemany(
            "INSERT INTO cards(rowid, title, technique, materials, body) VALUES (?,?,?,?,?)", rows
        )
        self._base.execute("INSERT INTO cards(cards) VALUES ('optimize')")
        self._base.commit()

    def _scores(self, words: str, typing: bool) -> Ints:
        rows = self._base.execute(
            "SELECT rowid, bm25(cards, 3, 2, 2, 1) FROM cards WHERE cards MATCH ?",
            (match_of(words, typing),),
        ).fetchall()
        scores = np.zeros(self._width, np.int64)
        if rows:
            found = np.array(rows)
            scores[found[:, 0].astype(np.int64)] = 1 + (found[:, 1] * -SCALE).astype(np.int64)
        return scores


class Bm25sWithNumpy(_Engine):
    """bm25s for words; it scores every document."""

    name = "bm25s + our numpy"
    about = "our stems; beginnings expanded over a sorted vocabulary"

    def __init__(self, shelf: Shelf) -> None:
        super().__init__(shelf)
        self._engine = bm25s.BM25(k1=1.2, b=0.75)
        tokens = [stems_of("\n".join(texts)) for texts in texts_of(shelf.cards)]
        self._engine.index(tokens, show_progress=False)

    def _scores(self, words: str, typing: bool) -> Ints:
        stems = stems_of(words)
        if typing:
            last = words_of(words)[-1]
            arrays = self._view.parts[0].arrays
            names = arrays.words.names
            stems += [names[number] for number in arrays.stems_beginning(last)]
        known = [stem for stem in stems if stem in self._engine.vocab_dict]
        scores = np.zeros(self._width, np.int64)
        if known:
            found = self._engine.get_scores(known)
            scores[: found.size] = (found * SCALE).astype(np.int64)
        return scores


class TantivyWithNumpy(_Engine):
    """tantivy for words; all matches are fetched, because the counts need them."""

    name = "tantivy + our numpy"
    about = "en_stem, one segment, boosted fields"

    def __init__(self, shelf: Shelf) -> None:
        super().__init__(shelf)
        schema = tantivy.SchemaBuilder()
        for name in FIELDS:
            schema.add_text_field(name, tokenizer_name="en_stem", index_option="freq")
        self._index = tantivy.Index(schema.build())
        writer = self._index.writer(1_000_000_000, 1)
        for texts in texts_of(shelf.cards):
            writer.add_document(
                tantivy.Document(**{n: [t] for n, t in zip(FIELDS, texts, strict=True)})
            )
        writer.commit()
        writer.wait_merging_threads()
        self._index.reload()
        self._searcher = self._index.searcher()
        self._size = len(shelf.cards)
        assert self._searcher.num_segments == 1

    def _scores(self, words: str, typing: bool) -> Ints:
        query = tantivy_query(self._index, words, typing)
        found = self._searcher.search(query, self._size, count=False).hits
        scores = np.zeros(self._width, np.int64)
        for score, address in found:
            scores[address.doc] = 1 + int(score * SCALE)
        return scores


FIELDS = ("title", "technique", "materials", "body")
BOOSTS = {"title": 3.0, "technique": 2.0, "materials": 2.0, "body": 1.0}


def match_of(words: str, typing: bool) -> str:
    """The words in FTS5's own language: any may match, the last a beginning while typing."""
    each = [f'"{word}"' for word in words_of(words)]
    if typing and each:
        each[-1] += "*"
    return " OR ".join(each)


def tantivy_query(index: Any, words: str, typing: bool) -> Any:
    """The words as a query of tantivy: any may match, the last a beginning while typing."""
    all_words = words_of(words)
    query = index.parse_query(" ".join(all_words), list(FIELDS), field_boosts=BOOSTS)
    if not typing or not all_words:
        return query
    beginnings = [
        tantivy.Query.regex_query(index.schema, name, f"{all_words[-1]}.*") for name in FIELDS
    ]
    parts = [(tantivy.Occur.Should, each) for each in (query, *beginnings)]
    return tantivy.Query.boolean_query(parts)
