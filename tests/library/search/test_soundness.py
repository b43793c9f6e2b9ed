"""The index is looked at without being changed, and whatever is wrong with it is said."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from library.search import arrayfile
from library.search import index as index_module
from library.search.soundness import Soundness, look_at_index
from library.store.errors import IndexBusy
from library.store.paths import LibraryPaths
from tests.builders import a_card
from tests.library.search.libraries import Shelf
from tests.library.search.test_index import (
    MIST,
    RAIN,
    SOUP,
    another_writing,
    damage_of,
    leaves_open,
)


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch) -> Shelf:
    """A library whose index has arrays on disk."""
    monkeypatch.setattr(index_module, "SMALLEST_DELTA", 0)
    return Shelf(tmp_path, RAIN, MIST, SOUP)


def look(shelf: Shelf) -> Soundness:
    """Looks at the index, and makes sure that nothing of it was changed."""
    before = bytes_of(shelf.paths)
    found = looked_at(shelf)
    assert bytes_of(shelf.paths) == before
    return found


def looked_at(shelf: Shelf, paths: LibraryPaths | None = None) -> Soundness:
    cards = shelf.folder.read_all()[0]
    return look_at_index(paths or shelf.paths, shelf.folder.files(), cards, wait_seconds=0.1)


def bytes_of(paths: LibraryPaths) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in paths.index.rglob("*") if path.is_file()}


def test_an_index_that_is_whole_has_no_fault(shelf: Shelf):
    assert list(shelf.paths.index.glob("arrays-*"))
    assert look(shelf) == Soundness()


def test_it_is_whole_after_every_kind_of_change(shelf: Shelf, monkeypatch):
    monkeypatch.setattr(index_module, "SMALLEST_DELTA", 64)
    shelf.write(a_card("rake-run"))
    shelf.index.refresh()
    shelf.write(a_card("sponge-rain", body="Now with lanterns."))
    shelf.index.refresh()
    shelf.folder.find("no-cook-soup").path.unlink()
    shelf.index.refresh()
    assert look(shelf) == Soundness()


def test_an_index_that_was_never_made_has_no_fault(shelf: Shelf, tmp_path: Path):
    elsewhere = LibraryPaths(shelf.paths.folder, tmp_path / "elsewhere")
    assert looked_at(shelf, elsewhere) == Soundness()
    assert not elsewhere.index.exists()


@leaves_open
@pytest.mark.parametrize("part", ["arrays", "segment", "contents", "manifest", "state"])
@pytest.mark.parametrize("how", ["gone", "empty", "half", "garbage"])
def test_whatever_is_damaged_is_said_with_what_to_do(shelf: Shelf, part: str, how: str):
    for file in damage_of(shelf)[part]:
        content = file.read_bytes()
        if how == "gone":
            file.unlink()
        else:
            new = {"empty": b"", "half": content[: len(content) // 2], "garbage": os.urandom(999)}
            file.write_bytes(new[how])
    faults = look(shelf).faults
    assert faults
    assert all("make it anew with 'lowshelf index --rebuild'" in text for text in faults)


def test_a_changed_byte_in_large_arrays_is_found(shelf: Shelf, monkeypatch):
    """A start reads large arrays by their sizes alone; whoever asks wants to know."""
    monkeypatch.setattr(arrayfile, "CHECKED_BYTES", 0)
    (file,) = shelf.paths.index.glob("arrays-*")
    content = bytearray(file.read_bytes())
    at = content.index(b"Ladles")
    content[at] ^= 1
    file.write_bytes(content)
    (fault,) = look(shelf).faults
    assert "have changed" in fault


def test_an_index_of_another_version_is_said(shelf: Shelf):
    path = shelf.paths.index / "state.json"
    path.write_text(json.dumps({**json.loads(path.read_text()), "format": "older"}))
    (fault,) = look(shelf).faults
    assert "the index is of another version" in fault


def test_a_card_that_it_should_have_and_has_not_is_named(shelf: Shelf):
    """The list of files says that the card was read and is in the index; it is not."""
    shelf.write(a_card("rake-run"))
    path = shelf.paths.index / "manifest.jsonl"
    path.write_text(path.read_text() + _row_of(shelf, "rake-run"))
    (fault,) = look(shelf).faults
    assert fault.startswith("it lacks rake-run; ")


def test_files_that_changed_since_are_no_fault(shelf: Shelf):
    shelf.write(a_card("rake-run"))
    shelf.write(a_card("sponge-rain", body="Now with lanterns, and longer than before."))
    shelf.folder.find("no-cook-soup").path.unlink()
    found = look(shelf)
    assert found.faults == ()
    assert [Path(file).stem for file in found.behind] == ["no-cook-soup", "rake-run", "sponge-rain"]


def test_while_another_writes_it_is_left_alone(shelf: Shelf):
    with another_writing(shelf), pytest.raises(IndexBusy):
        looked_at(shelf)
    assert looked_at(shelf) == Soundness()


def test_of_two_files_with_one_id_the_first_is_looked_for(shelf: Shelf):
    twin = shelf.paths.activities / "zoo" / "sponge-rain.md"
    twin.parent.mkdir()
    twin.write_bytes(shelf.folder.find("sponge-rain").path.read_bytes())
    shelf.index.refresh()
    assert look(shelf) == Soundness()


def _row_of(shelf: Shelf, card_id: str) -> str:
    file = next(each for each in shelf.folder.files() if each.id == card_id)
    row = {
        "file": file.file,
        "size": file.size,
        "modified_ns": file.modified_ns,
        "fingerprint": "",
        "id": card_id,
        "readable": True,
        "indexed": True,
    }
    return json.dumps(row) + "\n"
