"""Reads card files into documents, with a second process where there are many of them."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from itertools import islice
from multiprocessing import get_context
from typing import TypeVar

from library.cards.folder import CardFile, read_card_file
from library.search.documents import Document, document_of
from library.search.names import Names
from library.store.atomic import fingerprint
from library.store.problems import Problem

MANY_FILES = 400
"""Files from which on starting another process pays."""
BATCH = 40
AHEAD = 32
"""Batches that may wait for each process, so that it has work while this one writes, and yet reading
never fills the memory."""

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class ReadFile:
    """What came of one file."""

    file: CardFile
    fingerprint: str
    document: Document | None
    """None where no card can be made of it."""
    problems: tuple[Problem, ...]


def read_files(
    files: Sequence[CardFile], names: Names, *, processes: int | None = None
) -> Iterator[ReadFile]:
    """Reads files, in any order.

    Args:
        files: The files.
        names: Things with several names.
        processes: How many other processes read; None: as many as pay, 0: none.
    """
    if processes is None:
        processes = max(1, (os.cpu_count() or 1) - 1) if len(files) >= MANY_FILES else 0
    if processes == 0:
        yield from (read_file(file, names) for file in files)
        return
    left = {file.file: file for file in files}
    try:
        for read in _read_apart(files, names, processes):
            del left[read.file.file]
            yield read
    except BrokenProcessPool:
        yield from (read_file(file, names) for file in left.values())


def read_file(file: CardFile, names: Names) -> ReadFile:
    """Reads one file; what cannot be read is a problem, never an exception."""
    content, parsed = read_card_file(file)
    document = None
    if parsed.card is not None:
        seconds = file.modified_ns // 1_000_000_000
        document = document_of(parsed.card, names, changed=seconds)
    return ReadFile(file, fingerprint(content), document, parsed.problems)


def in_batches(items: Sequence[Item], size: int) -> Iterator[list[Item]]:
    """The items in lists of a size, the last one shorter."""
    rest = iter(items)
    while batch := list(islice(rest, size)):
        yield batch


def _read_apart(files: Sequence[CardFile], names: Names, processes: int) -> Iterator[ReadFile]:
    """Has other processes read files, and reads here too rather than wait for them.

    The processes are spawned, not forked, for this one may have threads.
    """
    batches = in_batches(files, BATCH)
    waiting: deque[Future[list[ReadFile]]] = deque()
    with ProcessPoolExecutor(
        processes, mp_context=get_context("spawn"), initializer=_begin, initargs=(names,)
    ) as pool:
        try:
            while True:
                for batch in islice(batches, AHEAD * processes - len(waiting)):
                    waiting.append(pool.submit(_read_batch, batch))
                if not waiting:
                    return
                while waiting and waiting[0].done():
                    yield from waiting.popleft().result()
                here = next(batches, None)
                if here is not None:
                    yield from (read_file(file, names) for file in here)
                elif waiting:
                    yield from waiting.popleft().result()
        finally:
            for future in waiting:
                future.cancel()


_names = Names()


def _begin(names: Names) -> None:
    global _names
    _names = names


def _read_batch(files: list[CardFile]) -> list[ReadFile]:
    return [read_file(file, _names) for file in files]
