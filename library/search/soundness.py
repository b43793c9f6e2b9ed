"""Looks whether the index is whole and holds the cards there are, and changes nothing of it.

A start makes a damaged index anew without a word; this is for whoever wants to know.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from library.cards.card import Card
from library.cards.folder import CardFile
from library.search.arrayfile import load_arrays
from library.search.arrays import Damaged
from library.search.following import Scope, is_stale
from library.search.index import State, read_state
from library.search.manifest import Manifest, Row
from library.search.postings import Postings
from library.store.locks import one_writer
from library.store.paths import LibraryPaths

NAMED = 3
"""Cards and files that a sentence names; of more it says how many."""
REMEDY = (
    "make it anew with 'lowshelf index --rebuild'; it is made of the cards, and nothing is lost"
)


@dataclass(frozen=True, slots=True)
class Soundness:
    """What a look at the index found."""

    faults: tuple[str, ...] = ()
    """What is wrong with it, each with what to do about it."""
    behind: tuple[str, ...] = ()
    """Files that are new, changed or gone since it was written; it follows them at the next start."""


def look_at_index(
    paths: LibraryPaths,
    files: Sequence[CardFile],
    cards: Iterable[Card],
    *,
    wait_seconds: float = 10.0,
) -> Soundness:
    """Opens the index and compares its parts with each other and with the cards.

    An index that was never made has no fault: it is made when it is first needed.

    Args:
        paths: The library's places.
        files: All files of cards.
        cards: Every card that can be read.
        wait_seconds: How long to wait for another writer.

    Raises:
        IndexBusy: If another process is writing it.
    """
    folder = paths.index
    if not folder.is_dir() or all(path.name == "lock" for path in folder.iterdir()):
        return Soundness()
    with one_writer(folder / "lock", wait_seconds=wait_seconds):
        try:
            faults, behind = _look(folder, files, cards)
        except (OSError, ValueError, TypeError, Damaged) as error:
            faults, behind = [f"it cannot be opened: {error}"], frozenset[str]()
    return Soundness(tuple(f"{text}; {REMEDY}" for text in faults), tuple(sorted(behind)))


def _look(
    folder: Path, files: Sequence[CardFile], cards: Iterable[Card]
) -> tuple[list[str], frozenset[str]]:
    state = read_state(folder)
    manifest = Manifest(folder / "manifest.jsonl")
    manifest.load()
    dead, ids = _segments(folder / "whoosh")
    there = {card_id for name in ids for card_id in _alive(ids[name], dead[name])}
    noted = {row.id for row in manifest.rows.values() if row.indexed}
    scope = Scope(files)
    behind = _behind(scope, manifest.rows)
    known = {
        card.id
        for card in cards
        if card.file not in behind and scope.firsts.get(card.id.casefold()) == card.file
    }
    faults = [
        *_said("it lacks", known - there),
        *_said("the list of its files has, but it has not,", noted - there - known),
        *_said("it has, but the list of its files has not,", there - noted),
    ]
    if state.arrays:
        faults += _wrong_arrays(folder, state, dead, ids)
    return faults, behind


def _segments(folder: Path) -> tuple[dict[str, list[int]], dict[str, list[str]]]:
    """By segment what is deleted in it, and the ids of everything it holds; all of it is read."""
    if not folder.is_dir() or not any(folder.iterdir()):
        raise Damaged(f"the folder {folder.name} is empty")
    postings = Postings(folder)
    postings.open()
    dead = postings.segments()
    return dead, {name: postings.take(name).ids for name in dead}


def _wrong_arrays(
    folder: Path, state: State, dead: Mapping[str, list[int]], ids: Mapping[str, list[str]]
) -> list[str]:
    """Whether the arrays are whole and hold what the segments held of which they were made."""
    arrays = load_arrays(folder / state.arrays, thorough=True)
    if not state.segments.keys() <= dead.keys():
        return [f"{state.arrays} was made of parts that are gone"]
    made_of = {
        card_id for name, then in state.segments.items() for card_id in _alive(ids[name], then)
    }
    return _said(f"{state.arrays} differs from the rest in", made_of ^ set(arrays.ids))


def _behind(scope: Scope, rows: Mapping[str, Row]) -> frozenset[str]:
    """Files that are new, have changed or are gone."""
    stale = {f.file for f in scope.files if is_stale(f, rows.get(f.file), scope.firsts, ())}
    return frozenset(stale | (rows.keys() - {file.file for file in scope.files}))


def _alive(ids: list[str], dead: Iterable[int]) -> list[str]:
    gone = set(dead)
    return [card_id for number, card_id in enumerate(ids) if number not in gone]


def _said(what: str, names: set[str]) -> list[str]:
    """A sentence about some cards; none where there are none."""
    if not names:
        return []
    first = ", ".join(sorted(names)[:NAMED])
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return [f"{what} {first}{more}"]
