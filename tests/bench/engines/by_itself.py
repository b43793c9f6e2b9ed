"""Engines that do all of an operation by their own means, as their documentation shows."""

from __future__ import annotations

import json
import shutil
import sqlite3
import subprocess
from collections.abc import Iterator
from typing import Any

import tantivy
from whoosh import fields, highlight, qparser, query, sorting
from whoosh.analysis import StemmingAnalyzer
from whoosh.index import create_in

from library.cards.card import Card
from library.materials.material import name_key
from library.search.analysis import words_of
from library.search.filters import Overlaps, Tagged, demands_of, requirements_of
from library.search.view import View
from tests.bench.engines.common import HITS, Answer, Ask, Shelf
from tests.bench.engines.texts import corrections, texts_of
from tests.bench.engines.with_numpy import FIELDS, match_of, tantivy_query

TAGS = ("centers", "seasons", "domains", "materials", "technique", "place", "adult", "status")
NUMBERS = ("prep", "mess", "ages_low", "ages_high", "group_low", "group_high")
PREP_BANDS = (0, 5, 10, 20)


def values_of(card: Card) -> tuple[dict[str, list[str]], dict[str, int]]:
    """Exact values and numbers of a card, by the names that requirements use."""
    tags = {
        "centers": list(card.centers),
        "seasons": [str(season) for season in card.seasons],
        "domains": [code.lower() for code in card.domains],
        "materials": [name_key(line.item) for line in card.materials],
        "technique": [card.technique],
        "place": [str(card.place)],
        "adult": [str(card.adult)],
        "status": [str(card.status)],
    }
    group = card.group
    numbers = {
        "prep": card.prep,
        "mess": card.mess,
        "ages_low": card.ages.low,
        "ages_high": card.ages.high or 30_000,
        "group_low": group.low if group else 0,
        "group_high": group.high if group else -1,
    }
    return tags, numbers


def requirements(ask: Ask, view: View) -> list[Any]:
    """What the conditions of a question require."""
    return requirements_of(ask.conditions, demands_of(ask.conditions, view.book))


class Fts5:
    """SQLite: FTS5 for words, indexed tables for values, GROUP BY for counts, snippet()."""

    name = "SQLite FTS5"
    about = "porter, weighted columns, indexed values, GROUP BY, snippet()"

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view
        self._mended = corrections(shelf.view)
        base = self._base = sqlite3.connect(shelf.folder / "fts.sqlite3", check_same_thread=False)
        base.execute(
            "CREATE VIRTUAL TABLE words USING fts5(title, technique, materials, body, "
            "tokenize='porter', prefix='1 2 3')"
        )
        columns = ", ".join(f"{name} INTEGER" for name in NUMBERS)
        base.execute(f"CREATE TABLE cards(number INTEGER PRIMARY KEY, shown TEXT, {columns})")
        base.execute("CREATE TABLE tags(field TEXT, value TEXT, number INTEGER)")
        for number, (card, texts) in enumerate(
            zip(shelf.cards, texts_of(shelf.cards), strict=True)
        ):
            self._insert(number, card, texts)
        base.execute("CREATE INDEX by_value ON tags(field, value, number)")
        base.execute("CREATE INDEX by_number ON tags(number, field, value)")
        base.execute("INSERT INTO words(words) VALUES ('optimize')")
        base.execute("ANALYZE")
        base.commit()
        base.execute("PRAGMA temp_store = MEMORY")
        base.execute("PRAGMA cache_size = -200000")
        base.execute("CREATE TEMP TABLE found(number INTEGER PRIMARY KEY, score REAL)")

    def _insert(self, number: int, card: Card, texts: tuple[str, ...]) -> None:
        tags, numbers = values_of(card)
        shown = json.dumps({"id": card.id, "title": card.title, "prep": card.prep})
        marks = ",".join("?" * (2 + len(NUMBERS)))
        values = [numbers[name] for name in NUMBERS]
        self._base.execute(f"INSERT INTO cards VALUES ({marks})", (number, shown, *values))
        self._base.execute(
            "INSERT INTO words(rowid, title, technique, materials, body) VALUES (?,?,?,?,?)",
            (number, *texts),
        )
        rows = [(field, value, number) for field in TAGS for value in tags[field]]
        self._base.executemany("INSERT INTO tags VALUES (?,?,?)", rows)

    def search(self, ask: Ask) -> Answer:
        words = self._mended(ask.words, ask.typing)
        where, values = self._where(ask)
        base = self._base
        base.execute("DELETE FROM found")
        match = match_of(words, ask.typing)
        if match:
            base.execute(
                "INSERT INTO found SELECT cards.number, bm25(words, 3, 2, 2, 1) FROM words "
                f"JOIN cards ON cards.number = words.rowid WHERE words MATCH ? AND {where}",
                (match, *values),
            )
        else:
            base.execute(
                f"INSERT INTO found SELECT number, number FROM cards WHERE {where}", values
            )
        (total,) = base.execute("SELECT count(*) FROM found").fetchone()
        first = base.execute(
            "SELECT number, shown FROM found JOIN cards USING (number) ORDER BY score LIMIT ?",
            (HITS,),
        ).fetchall()
        return Answer(total, tuple(json.loads(shown)["id"] for _, shown in first),
                      self._counts(), self._snippets(match, first))  # fmt: skip

    def _snippets(self, match: str, first: list[tuple[int, str]]) -> int:
        if not match or not first:
            return 0
        numbers = ",".join(str(number) for number, _ in first)
        rows = self._base.execute(
            "SELECT snippet(words, 3, '<', '>', '…', 20) FROM words "
            f"WHERE words MATCH ? AND rowid IN ({numbers})",
            (match,),
        ).fetchall()
        return sum(1 for (text,) in rows if "<" in text)

    def _counts(self) -> int:
        rows = self._base.execute(
            "SELECT field, value, count(*) FROM found JOIN tags USING (number) "
            "WHERE field IN ('centers', 'seasons', 'domains', 'place') GROUP BY field, value"
        ).fetchall()
        bands = ", ".join(f"sum(prep <= {most})" for most in PREP_BANDS)
        ages = ", ".join(
            f"sum(ages_low <= {low + 5} AND ages_high >= {low})" for low in (24, 30, 36)
        )
        groups = ", ".join(f"sum(group_low <= {n} AND group_high >= {n})" for n in (1, 2, 4, 8))
        mess = ", ".join(f"sum(mess <= {n})" for n in range(4))
        values = self._base.execute(
            f"SELECT {bands}, {ages}, {groups}, {mess} FROM found JOIN cards USING (number)"
        ).fetchone()
        return len(rows) + len(values)

    def _where(self, ask: Ask) -> tuple[str, list[Any]]:
        clauses, values = ["1"], []
        for each in requirements(ask, self._view):
            clause, more = sql_of(each)
            clauses.append(clause)
            values += more
        return " AND ".join(clauses), values


def sql_of(requirement: Any) -> tuple[str, list[Any]]:
    """A requirement as a condition of SQL over the tables cards and tags."""
    if isinstance(requirement, Overlaps):
        return f"{requirement.low} <= ? AND {requirement.high} >= ?", [
            requirement.most,
            requirement.least,
        ]
    assert isinstance(requirement, Tagged)
    marks = ",".join("?" * len(requirement.values))
    inner = f"SELECT number FROM tags WHERE field = ? AND value IN ({marks})"
    values: list[Any] = [requirement.field, *requirement.values]
    if requirement.beginnings:
        starts = " OR ".join("value LIKE ?" for _ in requirement.values)
        inner = f"SELECT number FROM tags WHERE field = ? AND ({starts})"
        values = [requirement.field, *(f"{value}%" for value in requirement.values)]
    clause = f"cards.number {'IN' if requirement.wanted else 'NOT IN'} ({inner})"
    if requirement.or_none:
        clause = f"({clause} OR cards.number NOT IN (SELECT number FROM tags WHERE field = ?))"
        values.append(requirement.field)
    return clause, values


class Tantivy:
    """tantivy: queries for words and values, aggregations for counts, its snippet generator."""

    name = "tantivy"
    about = "en_stem, boosted fields, fast fields, aggregations, SnippetGenerator"

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view
        self._mended = corrections(shelf.view)
        schema = tantivy.SchemaBuilder()
        for name in FIELDS:
            schema.add_text_field(
                name, stored=name == "body", tokenizer_name="en_stem", index_option="freq"
            )
        for name in TAGS:
            schema.add_text_field(
                f"{name}_tag", fast=True, tokenizer_name="raw", index_option="basic"
            )
        for name in NUMBERS:
            schema.add_integer_field(name, indexed=True, fast=True)
        schema.add_text_field("shown", stored=True, tokenizer_name="raw")
        self._schema = schema.build()
        self._index = tantivy.Index(self._schema)
        writer = self._index.writer(1_000_000_000, 1)
        for card, texts in zip(shelf.cards, texts_of(shelf.cards), strict=True):
            writer.add_document(self._document(card, texts))
        writer.commit()
        writer.wait_merging_threads()
        self._index.reload()
        self._searcher = self._index.searcher()
        self._aggregations = json.dumps(
            {
                **{
                    name: {"terms": {"field": f"{name}_tag", "size": 100}}
                    for name in ("centers", "seasons", "domains", "place")
                },
                "prep": {"terms": {"field": "prep", "size": 100}},
                "mess": {"terms": {"field": "mess"}},
                "ages": {"terms": {"field": "ages_low"}},
                "group": {"terms": {"field": "group_low"}},
            }
        )  # fmt: skip

    @staticmethod
    def _document(card: Card, texts: tuple[str, ...]) -> Any:
        tags, numbers = values_of(card)
        shown = json.dumps({"id": card.id, "title": card.title, "prep": card.prep})
        return tantivy.Document(
            **{name: [text] for name, text in zip(FIELDS, texts, strict=True)},
            **{f"{name}_tag": tags[name] for name in TAGS},
            **{name: [numbers[name]] for name in NUMBERS},
            shown=[shown],
        )

    def search(self, ask: Ask) -> Answer:
        words = self._mended(ask.words, ask.typing)
        asked = tantivy_query(self._index, words, ask.typing) if words_of(words) else None
        parts = [(tantivy.Occur.Must, each) for each in self._required(ask)]
        if asked is not None:
            parts.append((tantivy.Occur.Must, asked))
        whole = tantivy.Query.boolean_query(parts)
        found = self._searcher.search(whole, HITS, count=True)
        counts = self._searcher.aggregate(whole, json.loads(self._aggregations))
        documents = [self._searcher.doc(address) for _, address in found.hits]
        ids = tuple(json.loads(document["shown"][0])["id"] for document in documents)
        snippets = 0
        if asked is not None and documents:
            generator = tantivy.SnippetGenerator.create(self._searcher, asked, self._schema, "body")
            snippets = sum(
                1 for d in documents if generator.snippet_from_doc(d).to_html().count("<b>")
            )
        buckets = sum(len(each["buckets"]) for each in counts.values())
        return Answer(found.count or 0, ids, buckets, snippets)

    def _required(self, ask: Ask) -> Iterator[Any]:
        schema, make = self._schema, tantivy.Query
        for each in requirements(ask, self._view):
            if isinstance(each, Overlaps):
                kind = tantivy.FieldType.Integer
                yield make.range_query(schema, each.low, kind, 0, each.most)
                yield make.range_query(schema, each.high, kind, each.least, 200_000)
                continue
            assert isinstance(each, Tagged)
            field = f"{each.field}_tag"
            if each.beginnings:
                exact = [make.regex_query(schema, field, f"{value}.*") for value in each.values]
            else:
                exact = [make.term_query(schema, field, value) for value in each.values]
            parts = [(tantivy.Occur.Should, one) for one in exact]
            if each.or_none:
                some = make.exists_query(field)
                nothing = [(tantivy.Occur.Must, make.all_query()), (tantivy.Occur.MustNot, some)]
                parts.append((tantivy.Occur.Should, make.boolean_query(nothing)))
            any_of = make.boolean_query(parts)
            if each.wanted:
                yield any_of
            else:
                both = [(tantivy.Occur.Must, make.all_query()), (tantivy.Occur.MustNot, any_of)]
                yield make.boolean_query(both)


class Whoosh:
    """Whoosh as its manual shows: several fields, any word, facets, highlights."""

    name = "Whoosh"
    about = "as in its manual: StemmingAnalyzer, OrGroup, groupedby, highlights()"

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view
        self._mended = corrections(shelf.view)
        words = {name: fields.TEXT(StemmingAnalyzer(), stored=name == "body") for name in FIELDS}
        schema = fields.Schema(
            number=fields.ID(stored=True),
            **words,
            **{
                f"{name}_tag": fields.KEYWORD(commas=True, sortable=name != "materials")
                for name in TAGS
            },
            **{name: fields.NUMERIC(sortable=True) for name in NUMBERS},
        )
        folder = shelf.folder / "whoosh"
        folder.mkdir()
        index = create_in(folder, schema)
        writer = index.writer(limitmb=512)
        for card, texts in zip(shelf.cards, texts_of(shelf.cards), strict=True):
            tags, numbers = values_of(card)
            writer.add_document(
                number=card.id,
                **dict(zip(FIELDS, texts, strict=True)),
                **{f"{name}_tag": ",".join(tags[name]) for name in TAGS},
                **numbers,
            )
        writer.commit()
        self._searcher = index.searcher()
        self._parser = qparser.MultifieldParser(list(FIELDS), schema, group=qparser.OrGroup)
        self._parser.add_plugin(qparser.PrefixPlugin())

    def search(self, ask: Ask) -> Answer:
        words = " ".join(words_of(self._mended(ask.words, ask.typing)))
        asked = self._parser.parse(words + "*" * ask.typing) if words else query.Every()
        facets = sorting.Facets()
        for name in ("centers", "seasons", "domains"):
            facets.add_field(f"{name}_tag", allow_overlap=True, maptype=sorting.Count)
        for name in ("place_tag", "prep", "mess", "ages_low", "group_low"):
            facets.add_field(name, maptype=sorting.Count)
        required = query.And([whoosh_query(each) for each in requirements(ask, self._view)])
        results = self._searcher.search(asked, limit=HITS, filter=required, groupedby=facets)
        results.fragmenter = highlight.SentenceFragmenter(maxchars=200)
        snippets = sum(1 for hit in results if words and hit.highlights("body", top=1))
        counts = sum(len(results.groups(name)) for name in results.facet_names())
        return Answer(len(results), tuple(hit["number"] for hit in results), counts, snippets)


def whoosh_query(requirement: Any) -> Any:
    """A requirement as a query of Whoosh."""
    if isinstance(requirement, Overlaps):
        return query.And([
            query.NumericRange(requirement.low, None, requirement.most),
            query.NumericRange(requirement.high, requirement.least, None),
        ])  # fmt: skip
    assert isinstance(requirement, Tagged)
    field = f"{requirement.field}_tag"
    make = query.Prefix if requirement.beginnings else query.Term
    found: Any = query.Or([make(field, value) for value in requirement.values])
    if requirement.or_none:
        found = query.Or([found, query.Not(query.Every(field))])
    return found if requirement.wanted else query.Not(found)


class Ripgrep:
    """ripgrep over the files: any word; no ranking, filters, counts or stored fields."""

    name = "ripgrep"
    about = "over the files; only finds which files have a word"

    def __init__(self, shelf: Shelf) -> None:
        self._folder = shelf.library / "activities"

    def search(self, ask: Ask) -> Answer:
        words = words_of(ask.words) or ["title"]
        arguments = [part for word in words for part in ("-e", word)]
        done = subprocess.run(
            ["rg", "--files-with-matches", "--ignore-case", *arguments, str(self._folder)],
            capture_output=True,
            text=True,
            check=False,
        )
        files = done.stdout.splitlines()
        return Answer(len(files), tuple(file[-14:-3] for file in files[:HITS]), 0, 0)


def has_ripgrep() -> bool:
    """Whether ripgrep is installed."""
    return shutil.which("rg") is not None
