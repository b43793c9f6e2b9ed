"""The Whoosh index: documents go in, and everything comes out again in bulk.

The only module that knows Whoosh. The index holds all that search needs to know of the cards and
can be thrown away: it is made of the files. It unpickles what it reads, so it is only ever opened
in the data folder, where nothing but this module writes it.

Whoosh keeps documents in segments that are never changed, only marked as deleted and now and then
merged. Its own analysis, scoring and highlighting are not used: words arrive weighed (``documents.py``).
"""

from __future__ import annotations

import contextlib
import pickle
import struct
import zlib
from array import array
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from typing import Any

import numpy as np
from whoosh import fields, formats, index
from whoosh.codec.whoosh3 import W3Codec, W3FieldWriter
from whoosh.reading import SegmentReader

from library.search.arrays import Damaged, Ints, Lists, Taken
from library.search.documents import Document, number_names, tag_names

WORDS = "words"
"""The one field that is searched."""
DAMAGE = (
    index.IndexError, pickle.UnpicklingError, struct.error, zlib.error, EOFError,
    FileNotFoundError, AttributeError, ImportError, IndexError, KeyError, TypeError, ValueError,
    OverflowError, MemoryError,
)  # fmt: skip
"""What Whoosh raises over files that are not whole; it has no error of its own for them."""
MOST_SEGMENTS = 8
"""Small segments from which on the smallest are merged."""


class Exact(fields.FieldType):  # type: ignore[misc]
    """A field of exact words. Those of :data:`WORDS` have weights and go past it into the pool."""

    indexed = True
    stored = False
    scorable = False
    unique = False
    analyzer = None
    vector = None
    column_type = None
    spelling = False
    multitoken_query = "default"

    def __init__(self) -> None:
        """Postings without positions: a card is short enough to be searched for the sentence."""
        self.format = formats.Existence()

    def index(self, value: Iterable[str], **_: object) -> Iterator[tuple[bytes, int, float, bytes]]:
        """The postings of some exact words."""
        return ((word.encode(), 1, 1.0, b"") for word in value)


class Pool:
    """Gathers postings by word: an eighth of the memory of Whoosh's own pool, and nothing to sort."""

    def __init__(self) -> None:
        """Begins empty."""
        self._lists: dict[tuple[str, bytes], tuple[array[int], array[float]]] = {}
        self._words: dict[str, tuple[array[int], array[float]]] = {}

    def add(self, item: tuple[str, bytes, int, float, bytes]) -> None:
        """Adds one posting, as Whoosh's writer does; those of one word come by ascending document."""
        name, word, document, weight, _ = item
        lists = self._lists.get((name, word))
        if lists is None:
            lists = self._lists[name, word] = (array("I"), array("f"))
        lists[0].append(document)
        lists[1].append(weight)

    def add_words(self, document: int, weights: Mapping[str, float]) -> None:
        """Adds the words of a document, which are most of all postings, without a step for each."""
        words = self._words
        for word, weight in weights.items():
            lists = words.get(word)
            if lists is None:
                lists = words[word] = (array("I"), array("f"))
            lists[0].append(document)
            lists[1].append(weight)

    def iter_postings(self) -> Iterator[tuple[str, bytes, array[int], array[float]]]:
        """All postings, one list for each field and word, in their order."""
        for text, lists in self._words.items():
            key = (WORDS, text.encode())
            before = self._lists.get(key, (array("I"), array("f")))
            self._lists[key] = (before[0] + lists[0], before[1] + lists[1])
        self._words.clear()
        for name, word in sorted(self._lists):
            yield name, word, *self._lists[name, word]

    def cleanup(self) -> None:
        """Forgets the postings."""
        self._lists.clear()
        self._words.clear()


class FieldWriter(W3FieldWriter):  # type: ignore[misc]
    """Whoosh's writer of postings, fed by the list instead of one at a time: a third of the time."""

    def add_postings(
        self,
        schema: fields.Schema,
        _: object,
        items: Iterable[tuple[str, bytes, array[int], array[float]]],
    ) -> None:
        """Writes what :meth:`Pool.iter_postings` gives."""
        for name, lists in groupby(items, key=itemgetter(0)):
            self.start_field(name, schema[name])
            for _name, word, documents, weights in lists:
                self.start_term(word)
                self._add_list(documents, weights)
                self.finish_term()
            self.finish_field()

    def _add_list(self, documents: array[int], weights: array[float]) -> None:
        """Fills the blocks of one word; the last one is written as the word is finished."""
        writer = self._postwriter
        step = writer._blocklimit
        for at in range(0, len(documents), step):
            if at:
                writer._write_block()
            writer._ids = documents[at : at + step]
            writer._weights = weights[at : at + step]
            writer._maxweight = max(writer._weights)


class Codec(W3Codec):  # type: ignore[misc]
    """Whoosh's own file format, without the lengths that its scoring would round to one byte.

    With them a build asks the file system for the lengths' file once for every posting.
    """

    length_stats = False

    def field_writer(self, storage: Any, segment: Any) -> FieldWriter:
        """The writer of postings."""
        return FieldWriter(self, storage, segment)


def schema() -> fields.Schema:
    """The fields of the index, made from the catalogue of a card's fields."""
    made: dict[str, fields.FieldType] = {
        "id": fields.ID(unique=True),
        WORDS: Exact(),
        "kept": fields.STORED(),
    }
    made |= {name: Exact() for name in tag_names()}
    made |= {
        name: fields.NUMERIC(int, bits=64, sortable=True, shift_step=0) for name in number_names()
    }
    return fields.Schema(**made)


@contextlib.contextmanager
def _whole() -> Iterator[None]:
    """Names whatever Whoosh stumbles over."""
    try:
        yield
    except DAMAGE as error:
        raise Damaged(f"the index cannot be read ({type(error).__name__}: {error})") from error


class Postings:
    """The Whoosh index of one folder. Whoever calls makes sure that only one writes at a time."""

    def __init__(self, folder: Path) -> None:
        """Opens nothing yet."""
        self._folder = folder
        self._index: Any = None

    def open(self) -> None:
        """Opens the index, or makes an empty one in an empty folder.

        Raises:
            Damaged: If the files are not whole.
        """
        self._folder.mkdir(parents=True, exist_ok=True)
        with _whole():
            if any(self._folder.iterdir()):
                self._index = index.open_dir(self._folder, schema=schema())
            else:
                self._index = index.create_in(self._folder, schema())

    @property
    def generation(self) -> int:
        """A number that grows with every write, also by another process."""
        return int(self._index.latest_generation())

    def write(
        self,
        documents: Iterable[Document],
        removed: Collection[str],
        *,
        settled: Collection[str] = (),
    ) -> None:
        """Adds documents and takes out old ones.

        Args:
            documents: New and changed documents.
            removed: Ids of what to take out of that which is there, of changed documents too; it
                may still grow while the documents are taken.
            settled: Segments that are never merged, because arrays have been made of them.

        Raises:
            Damaged: If the files that are there are not whole.
        """
        with _whole():
            writer = self._index.writer(codec=Codec(compression=1))
        writer.pool = Pool()  # the writer's own argument for this, poolclass, is not heeded
        try:
            for document in documents:
                writer.pool.add_words(writer.docnum, document.words)
                writer.add_document(**_fields_of(document))
            with _whole():
                self._take_out(writer, removed)
                writer.commit(mergetype=_merger(settled))
        finally:
            if not writer.is_closed:
                writer.cancel()

    @staticmethod
    def _take_out(writer: Any, removed: Collection[str]) -> None:
        if not removed:
            return
        with writer.searcher() as searcher:
            for card_id in removed:
                number = searcher.document_number(id=card_id)
                if number is not None:
                    writer.delete_document(number)

    def segments(self) -> dict[str, list[int]]:
        """Name of each segment → its deleted documents.

        Raises:
            Damaged: If the files are not whole.
        """
        with _whole():
            return {each.segment_id(): sorted(each.deleted_docs()) for each in self._segments()}

    def cards(self) -> int:
        """Number of documents that count."""
        with _whole():
            return sum(each.doc_count() for each in self._segments())

    def take(self, segment: str) -> Taken:
        """Everything a segment holds, deleted documents too.

        Raises:
            Damaged: If the files are not whole.
        """
        with _whole(), self._reader(segment) as reader:
            return _taken(reader)

    def ids(self, segment: str, documents: Iterable[int]) -> list[str]:
        """The ids of some documents of a segment.

        Raises:
            Damaged: If the files are not whole.
        """
        with _whole(), self._reader(segment) as reader:
            return [reader.stored_fields(number)["kept"]["id"] for number in documents]

    def _segments(self) -> list[Any]:
        segments: list[Any] = self._index._segments()
        return segments

    @contextlib.contextmanager
    def _reader(self, segment: str) -> Iterator[Any]:
        segments = {each.segment_id(): each for each in self._segments()}
        reader = SegmentReader(self._index.storage, self._index.schema, segments[segment])
        try:
            yield reader
        finally:
            reader.close()


def _fields_of(document: Document) -> dict[str, Any]:
    kept = {
        "id": document.id,
        "title": document.title,
        "shown": document.shown,
        "text": document.text,
        "forms": " ".join(document.forms),
    }
    return {
        "id": document.id,
        "kept": kept,
        **document.tags,
        **document.numbers,
    }


def _merger(settled: Collection[str]) -> Callable[[Any, list[Any]], list[Any]]:
    """Merges the smallest unsettled segments once there are many, so that their number stays small."""

    def merge(writer: Any, segments: list[Any]) -> list[Any]:
        small = [each for each in segments if each.segment_id() not in settled]
        if len(small) < MOST_SEGMENTS:
            return segments
        gathered: set[str] = set()
        total = 32
        for segment in sorted(small, key=lambda each: each.doc_count_all()):
            if segment.doc_count_all() > 2 * total:
                break
            total += segment.doc_count_all()
            gathered.add(segment.segment_id())
            reader = SegmentReader(writer.storage, writer.schema, segment)
            writer.add_reader(reader)
            reader.close()
        return [each for each in segments if each.segment_id() not in gathered]

    return merge


def _taken(leaf: Any) -> Taken:
    kept = [leaf.stored_fields(number)["kept"] for number in range(leaf.doc_count_all())]
    return Taken(
        ids=[each["id"] for each in kept],
        titles=[each["title"] for each in kept],
        shown=[each["shown"].encode() for each in kept],
        texts=[each["text"].encode() for each in kept],
        forms=[each["forms"] for each in kept],
        numbers={name: _column(leaf, name) for name in number_names()},
        words=_lists(leaf, WORDS),
        tags=_tag_lists(leaf),
    )


def _column(leaf: Any, name: str) -> Ints:
    return np.fromiter(leaf.column_reader(name), dtype=np.int64, count=leaf.doc_count_all())


def _tag_lists(leaf: Any) -> Lists:
    """The lists of all tag fields, named by field and value."""
    names: list[str] = []
    starts: list[Ints] = [np.zeros(1, np.int64)]
    docs: list[Ints] = [np.zeros(0, np.int32)]
    for field in sorted(tag_names()):
        lists = _lists(leaf, field)
        names += [f"{field}:{value}" for value in lists.names]
        starts.append(lists.starts[1:] + sum(each.size for each in docs))
        docs.append(lists.docs)
    return Lists(names, np.concatenate(starts), np.concatenate(docs), np.zeros(0, np.float32))


def _lists(leaf: Any, field: str) -> Lists:
    """The postings of a field, block by block: one at a time they would take ten times as long."""
    names: list[str] = []
    starts, docs, weights = array("q", [0]), array("I"), array("f")
    terms, form = leaf._terms, leaf.schema[field].format
    for word in leaf.lexicon(field):
        matcher = terms.matcher(field, word, form)
        while True:
            matcher._read_ids()
            matcher._read_weights()
            docs.extend(matcher._ids)
            weights.extend(matcher._weights)
            if matcher._lastblock:
                break
            matcher._goto(matcher._nextoffset)
        names.append(word.decode())
        starts.append(len(docs))
    return Lists(
        names,
        np.array(starts, dtype=np.int64),
        np.array(docs, dtype=np.int32),
        np.array(weights, dtype=np.float32),
    )
