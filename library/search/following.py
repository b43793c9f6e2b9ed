"""What has to happen so that the index follows the files: which to read, what to write and take out.

Decides only; ``index.py`` does it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain, repeat

from library.cards.folder import CardFile
from library.search.documents import Document
from library.search.manifest import Row
from library.search.reading import ReadFile

FIRST_CHUNKS = (1_000, 3_000)
LARGEST_CHUNK = 8_000
"""Files read before they are written: few at first, so that a new library is soon searched in part;
more later, because each chunk costs a segment."""


@dataclass(frozen=True)
class Scope:
    """The files that were looked at: all of them, or a few."""

    files: Sequence[CardFile]
    gone: Collection[str] = ()
    """Paths at which there was a file once and now is none."""

    @cached_property
    def firsts(self) -> Mapping[str, str]:
        """Id, case ignored → the file that it belongs to: the first of its files by path."""
        found: dict[str, str] = {}
        for file in self.files:
            found.setdefault(file.id.casefold(), file.file)
        return found


@dataclass(slots=True)
class Step:
    """One write. Documents are made as they are taken, so that they never lie in memory together."""

    documents: Iterator[Document] = field(default_factory=lambda: iter(()))
    """What goes in; the other attributes are complete when the last one has been taken."""
    changed: set[str] = field(default_factory=set)
    """Ids of the documents."""
    removed: set[str] = field(default_factory=set)
    """Ids of what is in the index and has to come out."""
    rows: list[Row] = field(default_factory=list)
    """What to note of files."""
    gone: list[str] = field(default_factory=list)
    """Files to forget."""


def chunk_sizes() -> Iterator[int]:
    """How many files each step reads, without end."""
    return chain(FIRST_CHUNKS, repeat(LARGEST_CHUNK))


def is_stale(
    file: CardFile,
    row: Row | None,
    firsts: Mapping[str, str],
    touched: Collection[str],
) -> bool:
    """Whether a file has to be read.

    Args:
        file: The file.
        row: What was read of it last.
        firsts: Which file an id belongs to.
        touched: Files of cards whose documents have to be made anew, changed or not.
    """
    if row is None or not row.is_of(file.size, file.modified_ns) or file.file in touched:
        return True
    took_over = firsts[file.id.casefold()] == file.file and not row.indexed
    return took_over and row.readable


def leaving(scope: Scope, rows: Mapping[str, Row]) -> Step:
    """What goes before anything new comes: files that are gone, and ids that another file took."""
    step = Step()
    for name in scope.gone:
        row = rows.get(name)
        if row is not None:
            step.gone.append(name)
            step.removed |= {row.id} if row.indexed else set()
    firsts = scope.firsts
    for file in scope.files:
        row = rows.get(file.file)
        if row is not None and row.indexed and firsts[row.id.casefold()] != file.file:
            step.rows.append(replace(row, indexed=False))
            step.removed.add(row.id)
    return step


def arriving(
    chunk: Iterable[ReadFile],
    rows: Mapping[str, Row],
    firsts: Mapping[str, str],
    touched: Collection[str],
) -> Step:
    """What some files change in the index, while they are being read."""
    step = Step()

    def documents() -> Iterator[Document]:
        for read in chunk:
            document = _arrive(read, rows.get(read.file.file), firsts, touched, step)
            if document is not None:
                step.changed.add(document.id)
                yield document

    step.documents = documents()
    return step


def _arrive(
    read: ReadFile,
    before: Row | None,
    firsts: Mapping[str, str],
    touched: Collection[str],
    step: Step,
) -> Document | None:
    """Notes a file that was read, and gives its document if that has to go into the index."""
    file = read.file
    row = Row(
        file=file.file,
        size=file.size,
        modified_ns=file.modified_ns,
        fingerprint=read.fingerprint,
        id=file.id,
        readable=read.document is not None,
        indexed=read.document is not None and firsts[file.id.casefold()] == file.file,
        problems=read.problems,
    )
    step.rows.append(row)
    if before is not None and before.indexed:
        if row.indexed and before.fingerprint == row.fingerprint and file.file not in touched:
            return None
        step.removed.add(file.id)
    return read.document if row.indexed else None
