"""The search index of one library, kept in step with its files.

Three things lie in the index folder, all made of the files and free to be thrown away: the manifest
(what was read of each file), the Whoosh index (all that search knows of the cards) and a file of
arrays (most of that again, in the form that is fast to search). A search looks at a :class:`View`;
a change makes a new one, and searches that are under way finish with the old.
"""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from hashlib import sha256
from itertools import chain, islice
from pathlib import Path

import numpy as np

from library.cards.card import catalogue
from library.cards.centers import center_names
from library.cards.folder import CardFile, CardFolder
from library.materials.material import MaterialBook
from library.search.analysis import STOP_WORDS
from library.search.arrayfile import load_arrays, save_arrays
from library.search.arrays import Arrays, Damaged, Mask, Taken, combine
from library.search.documents import filtered_fields
from library.search.following import Scope, Step, arriving, chunk_sizes, is_stale, leaving
from library.search.manifest import Manifest
from library.search.names import Names, names_of
from library.search.postings import Postings
from library.search.reading import ReadFile, read_files
from library.search.view import Part, View
from library.store.errors import IndexBusy
from library.store.locks import one_writer
from library.store.paths import LibraryPaths
from library.store.problems import Problem

VERSION = 3
"""Raised by hand when the meaning of what is kept changes though no field does."""
SETTLED_SHARE = 16
SMALLEST_DELTA = 64
"""The small arrays are folded into the large ones once they hold more than 64 documents and more than
a sixteenth of what the large ones hold."""

Progress = Callable[[int, int], None]
"""Told how many of how many files are done."""


@dataclass(frozen=True, slots=True)
class Changes:
    """What a look at the files found."""

    read: int = 0
    """Files that were read, for they are new or have changed."""
    changed: tuple[str, ...] = ()
    """Ids of cards that are new or may have changed."""
    removed: tuple[str, ...] = ()
    """Ids of cards that are gone."""

    def __bool__(self) -> bool:
        return bool(self.changed or self.removed)


@dataclass(frozen=True, slots=True)
class State:
    """What is written beside the index about it."""

    made: str = ""
    """A word that no other index has."""
    format: str = ""
    """What the index was made by; another format is made anew."""
    arrays: str = ""
    """Name of the file of arrays; empty while there is none."""
    segments: dict[str, list[int]] = field(default_factory=dict)
    """The segments that the arrays were made of, and what was deleted in them by then."""
    names: dict[str, list[str]] = field(default_factory=dict)
    """The names of things that the documents were made with."""


class SearchIndex:
    """The index of one library. Any thread may search; one at a time refreshes."""

    def __init__(self, paths: LibraryPaths, cards: CardFolder) -> None:
        """Opens nothing yet.

        Args:
            paths: The library's places; the index lies in the private data folder.
            cards: The folder of cards.
        """
        self._paths = paths
        self._folder = paths.index
        self._cards = cards
        self._manifest = Manifest(self._folder / "manifest.jsonl")
        self._postings = Postings(self._folder / "whoosh")
        self._state = State()
        self._seen: tuple[str, int] | None = None
        self._base: Arrays | None = None
        self._taken: dict[str, Taken] = {}
        self._dead: dict[tuple[str, int], str] = {}
        self._book: tuple[int, MaterialBook] = (-1, MaterialBook())
        self.view = View()
        """The cards as they are known now; take it once for each search."""

    # --- for everyone

    def problems(self) -> list[Problem]:
        """What is wrong in the files of cards, as they were read last."""
        return [*self._manifest.problems(), *self._cards.name_problems()]

    def refresh(self, progress: Progress | None = None, *, wait_seconds: float = 10.0) -> Changes:
        """Brings the index in step with all files; only those that changed are read.

        Args:
            progress: Told how far it has come, in files.
            wait_seconds: How long to wait for another writer.

        Raises:
            IndexBusy: If another process is still writing; what it has finished can be searched.
        """
        with self._writing(wait_seconds):
            try:
                return self._follow(self._everything(), progress)
            except Damaged:
                self._start_anew()
                return self._follow(self._everything(), progress)

    def refresh_files(self, files: Iterable[str], *, wait_seconds: float = 10.0) -> Changes:
        """Brings the index in step with a few files that have just been written or removed.

        Args:
            files: Paths within the library folder, as :attr:`Card.file` gives them.
            wait_seconds: How long to wait for another writer.

        Raises:
            IndexBusy: If another process is still writing.
        """
        with self._writing(wait_seconds):
            scope = self._only(files) if self._book_stamp() == self._book[0] else None
            with contextlib.suppress(Damaged):
                if scope is not None:
                    return self._follow(scope)
        return self.refresh(wait_seconds=wait_seconds)

    def rebuild(self, progress: Progress | None = None, *, wait_seconds: float = 10.0) -> Changes:
        """Throws the index away and makes it anew.

        Raises:
            IndexBusy: If another process is still writing.
        """
        with self._writing(wait_seconds):
            self._start_anew()
            return self._follow(self._everything(), progress)

    # --- opening

    @contextlib.contextmanager
    def _writing(self, wait_seconds: float) -> Iterator[None]:
        """Holds the lock and has the index open as it is on disk now."""
        with contextlib.ExitStack() as stack:
            try:
                stack.enter_context(one_writer(self._folder / "lock", wait_seconds=wait_seconds))
            except IndexBusy:
                self._look_on()
                raise
            self._catch_up()
            yield

    def _look_on(self) -> None:
        """Shows what another process has finished, if nothing is shown yet."""
        if self._seen is None and self._base is None:
            with contextlib.suppress(OSError, ValueError, TypeError, Damaged):
                state = read_state(self._folder)
                base = load_arrays(self._folder / state.arrays)
                book = self._materials()
                self._base = base
                self.view = View((Part(base, base.everything()),), _names(book), book)

    def _catch_up(self) -> None:
        """Opens the index, or opens it again where another process has written it."""
        try:
            state = read_state(self._folder)
            if self._seen is None or self._seen != (state.made, self._postings.generation):
                self._open(state)
        except (OSError, ValueError, TypeError, Damaged):
            self._start_anew()

    def _open(self, state: State) -> None:
        self._forget()
        self._state = state
        self._manifest.load()
        self._postings.open()
        indexed = sum(row.indexed for row in self._manifest.rows.values())
        if self._postings.cards() != indexed:
            raise Damaged("the index and the list of its files do not agree")
        if state.arrays:
            with contextlib.suppress(OSError, Damaged):
                self._base = load_arrays(self._folder / state.arrays)
        self._tidy()
        old = {term: tuple(each) for term, each in state.names.items()}
        self._show(Names(written=old))

    def _start_anew(self) -> None:
        """Throws away what is there and opens an empty index."""
        self._forget()
        self.view = View()
        for path in self._folder.iterdir() if self._folder.exists() else ():
            if path.name != "lock":
                shutil.rmtree(path) if path.is_dir() else path.unlink()
        self._write_state(State(made=secrets.token_hex(8), format=_format()))
        self._manifest.load()
        self._postings.open()

    def _forget(self) -> None:
        self._base = None
        self._seen = None
        self._taken.clear()
        self._dead.clear()

    def _write_state(self, state: State) -> None:
        self._folder.mkdir(parents=True, exist_ok=True)
        temporary = self._folder / "state.tmp"
        with temporary.open("w", encoding="utf-8") as file:
            json.dump(asdict(state), file)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(self._folder / "state.json")
        self._state = state

    def _tidy(self) -> None:
        """Removes arrays that nothing points to; where another process still reads them, later."""
        for path in self._folder.glob("arrays-*"):
            if path.name != self._state.arrays:
                with contextlib.suppress(OSError):
                    path.unlink()

    # --- following the files

    def _everything(self) -> Scope:
        files = self._cards.files()
        return Scope(files, self._manifest.rows.keys() - {file.file for file in files})

    def _only(self, asked: Iterable[str]) -> Scope | None:
        """The files that were named; None if one of them shares its id with another file."""
        files, gone = [], []
        for name in asked:
            path = self._paths.folder / name
            if any(row.file != name for row in self._manifest.with_id(path.stem)):
                return None
            try:
                status = path.stat()
                files.append(
                    CardFile(str(path), name, path.stem, status.st_size, status.st_mtime_ns)
                )
            except FileNotFoundError:
                gone.append(name)
        return Scope(files, gone)

    def _follow(self, scope: Scope, progress: Progress | None = None) -> Changes:
        """Reads what is stale of some files and takes out what is gone."""
        names = _names(self._materials())
        touched = self._touched_by(names)
        rows, firsts = self._manifest.rows, scope.firsts
        stale = [f for f in scope.files if is_stale(f, rows.get(f.file), firsts, touched)]
        changed, removed = self._write(leaving(scope, rows))
        reads, done = iter(_told(read_files(stale, names), len(stale), progress)), 0
        for size in chunk_sizes():
            if done == len(stale):
                break
            new, lost = self._write(arriving(islice(reads, size), rows, firsts, touched))
            done = min(done + size, len(stale))
            changed, removed = changed | new, (removed | lost) - new
            if done < len(stale) and len(changed) >= 2 * self.view.cards:
                self._show(names)
        if _plain(names) != self._state.names:
            self._write_state(replace(self._state, names=_plain(names)))
        if changed or removed or not self._is_shown():
            self._show(names)
        elif self.view.book is not self._materials():
            self.view = replace(self.view, names=names, book=self._materials())
        self._taken = {s: t for s, t in self._taken.items() if s not in self._state.segments}
        return Changes(len(stale), tuple(sorted(changed)), tuple(sorted(removed - changed)))

    def _write(self, step: Step) -> tuple[set[str], set[str]]:
        """Does one step, the index before the manifest: what a crash leaves undone is done again.

        Returns:
            The ids that went in, and those that only came out.
        """
        first = next(step.documents, None)
        if first is not None or step.removed:
            documents = chain(() if first is None else (first,), step.documents)
            self._postings.write(documents, step.removed, settled=self._state.segments)
        if step.rows or step.gone:
            self._manifest.note(step.rows, step.gone)
        return step.changed, step.removed - step.changed

    def _materials(self) -> MaterialBook:
        """The materials, read again when their file changed."""
        stamp = self._book_stamp()
        if self._book[0] != stamp:
            self._book = (stamp, self._cards.materials()[0])
        return self._book[1]

    def _book_stamp(self) -> int:
        path = self._paths.activities / "materials.yaml"
        return path.stat().st_mtime_ns if path.is_file() else 0

    def _touched_by(self, names: Names) -> set[str]:
        """The files of the cards that use a name which changed since their documents were made."""
        old = Names(written={term: tuple(each) for term, each in self._state.names.items()})
        terms = old.differences(names)
        if not terms:
            return set()
        runs = old.runs(terms) | names.runs(terms)
        ids = {card_id for part in self.view.parts for card_id in _using(part, terms, runs)}
        return {row.file for row in self._manifest.rows.values() if row.id in ids}

    # --- showing

    def _is_shown(self) -> bool:
        """Whether the view holds what was written last."""
        return self._seen == (self._state.made, self._postings.generation)

    def _show(self, names: Names) -> None:
        """Makes a new view of what the index holds now."""
        segments = self._postings.segments()
        settled = self._state.segments if self._base is not None else {}
        if not settled.keys() <= segments.keys():
            raise Damaged("the arrays were made of segments that are gone")
        fresh = [name for name in segments if name not in settled]
        for name in fresh:
            if name not in self._taken:
                self._taken[name] = self._postings.take(name)
        delta = [self._taken[name] for name in fresh]
        alive = [_alive(self._taken[name], segments[name]) for name in fresh]
        size = self._base.size if self._base is not None else 0
        if sum(int(mask.sum()) for mask in alive) > max(SMALLEST_DELTA, size // SETTLED_SHARE):
            self._settle(segments)
            delta, alive = [], []
        parts = [] if self._base is None else [Part(self._base, self._base_alive(segments))]
        if delta:
            average = None if self._base is None else self._base.average
            small = combine(delta, alive, average)
            parts.append(Part(small, small.everything()))
        self.view = View(tuple(parts), names, self._materials())
        self._seen = (self._state.made, self._postings.generation)

    def _settle(self, segments: dict[str, list[int]]) -> None:
        """Folds everything into large arrays and writes them down."""
        for name in segments:
            if name not in self._taken:
                self._taken[name] = self._postings.take(name)
        taken = [self._taken[name] for name in segments]
        arrays = combine(taken, [_alive(self._taken[n], dead) for n, dead in segments.items()])
        file = f"arrays-{self._postings.generation}-{secrets.token_hex(4)}"
        save_arrays(arrays, self._folder / file)
        del arrays
        self._base = load_arrays(self._folder / file)
        self._write_state(replace(self._state, arrays=file, segments=segments))
        self._dead.clear()
        self._tidy()

    def _base_alive(self, segments: dict[str, list[int]]) -> Mask:
        """Which documents of the large arrays have not been taken out since they were made."""
        base = self._base
        assert base is not None
        alive = base.everything()
        for name, then in self._state.segments.items():
            new = set(segments[name]) - set(then)
            unknown = [number for number in new if (name, number) not in self._dead]
            ids = self._postings.ids(name, unknown) if unknown else []
            self._dead.update(zip(((name, number) for number in unknown), ids, strict=True))
            for number in new:
                document = base.number_of(self._dead[name, number])
                if document is not None:
                    alive[document] = False
        return alive


def read_state(folder: Path) -> State:
    """What is written beside the index of a folder.

    Raises:
        Damaged: If the index is of another version.
        OSError, ValueError, TypeError: If it cannot be read.
    """
    state = State(**json.loads((folder / "state.json").read_text(encoding="utf-8")))
    if state.format != _format():
        raise Damaged("the index is of another version")
    return state


def _names(book: MaterialBook) -> Names:
    """All things with several names: materials, and the centers."""
    return names_of(book, center_names())


def _alive(taken: Taken, dead: Sequence[int]) -> Mask:
    alive = np.ones(len(taken), dtype=np.bool_)
    alive[list(dead)] = False
    return alive


def _using(part: Part, terms: Iterable[str], runs: Iterable[Sequence[str]]) -> Iterator[str]:
    """The ids of documents that have one of some terms, or all words of one of some names."""
    arrays = part.arrays
    used = np.zeros(arrays.width, dtype=np.bool_)
    for term in terms:
        used[arrays.documents(term)] = True
    for run in runs:
        all_words = part.alive.copy()
        for each in run:
            has = np.zeros(arrays.width, dtype=np.bool_)
            has[arrays.documents(each)] = True
            all_words &= has
        used |= all_words
    return (arrays.ids[number] for number in np.flatnonzero(used & part.alive))


def _told(reads: Iterable[ReadFile], total: int, progress: Progress | None) -> Iterator[ReadFile]:
    """The files as they come, and word of how far it has come every fifty."""
    for number, read in enumerate(reads, 1):
        if progress and (number % 50 == 0 or number == total):
            progress(number, total)
        yield read


def _plain(names: Names) -> dict[str, list[str]]:
    return {term: list(each) for term, each in names.written.items()}


@cache
def _format() -> str:
    """What an index is made by: fields, weights, little words, and the versions of what makes it."""
    from importlib.metadata import version

    about = [
        VERSION,
        sorted(filtered_fields().items()),
        [(name, each.searched) for name, each in catalogue().items()],
        sorted(STOP_WORDS),
        [version(name) for name in ("whoosh-reloaded", "snowballstemmer")],
    ]
    return sha256(json.dumps(about).encode()).hexdigest()[:16]
