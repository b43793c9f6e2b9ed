"""The index follows the files, survives what can happen to it, and reads only what changed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from library.cards.folder import CardFolder
from library.search import index as index_module
from library.search import reading
from library.search.conditions import Conditions
from library.search.index import Changes, SearchIndex
from library.search.searching import search
from library.store.errors import IndexBusy
from library.store.locks import one_writer
from tests.builders import a_card, a_material_line
from tests.library.search.libraries import MATERIALS, Shelf

RAIN = a_card("sponge-rain", body="Wet sponges rain on leaves.")
MIST = a_card("frost-mist", body="A window frosts over.", materials=(a_material_line("mister"),))
SOUP = a_card("no-cook-soup", body="Ladles and a pot.")


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path, RAIN, MIST, SOUP)


def found(index: SearchIndex, words: str = "") -> list[str]:
    return [hit.card.id for hit in search(index.view, Conditions(), words).hits]


ALL = ["frost-mist", "no-cook-soup", "sponge-rain"]


def test_a_second_start_reads_no_file(shelf: Shelf):
    again = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    assert again.refresh() == Changes()
    assert found(again) == ALL


def test_only_what_changed_is_read(shelf: Shelf):
    shelf.write(a_card("sponge-rain", body="Now with lanterns."))
    assert shelf.index.refresh() == Changes(1, ("sponge-rain",), ())
    assert found(shelf.index, "lanterns") == ["sponge-rain"]
    assert found(shelf.index, "leaves") == []


def test_a_file_that_was_only_touched_changes_nothing(shelf: Shelf):
    os.utime(shelf.path(RAIN))
    changes = shelf.index.refresh()
    assert (changes.read, bool(changes)) == (1, False)
    assert shelf.index.refresh() == Changes()


def test_new_and_removed_files_are_followed(shelf: Shelf):
    shelf.path(RAIN).unlink()
    shelf.write(a_card("rake-run"))
    assert shelf.index.refresh() == Changes(1, ("rake-run",), ("sponge-rain",))
    assert found(shelf.index) == ["frost-mist", "no-cook-soup", "rake-run"]


def test_a_renamed_file_is_a_new_card(shelf: Shelf):
    shelf.path(RAIN).rename(shelf.path(RAIN).with_name("sponge-storm.md"))
    assert shelf.index.refresh() == Changes(1, ("sponge-storm",), ("sponge-rain",))
    assert found(shelf.index, "leaves") == ["sponge-storm"]


def test_a_moved_file_is_the_same_card(shelf: Shelf):
    new = shelf.paths.activities / "autumn" / "sponge-rain.md"
    new.parent.mkdir()
    shelf.path(RAIN).rename(new)
    shelf.index.refresh()
    assert found(shelf.index) == ALL
    hit = search(shelf.index.view, Conditions(), "leaves").hits[0]
    assert hit.card.file == "activities/autumn/sponge-rain.md"


def test_a_save_is_followed_without_a_look_at_other_files(shelf: Shelf):
    name = shelf.write(a_card("sponge-rain", body="Now with lanterns."))
    shelf.write(a_card("rake-run"))
    assert shelf.index.refresh_files([name]) == Changes(1, ("sponge-rain",), ())
    assert found(shelf.index, "lanterns") == ["sponge-rain"]
    assert "rake-run" not in found(shelf.index)


def test_a_removal_is_followed_without_a_look_at_other_files(shelf: Shelf):
    shelf.path(RAIN).unlink()
    name = shelf.path(RAIN).relative_to(shelf.paths.folder).as_posix()
    assert shelf.index.refresh_files([name]).removed == ("sponge-rain",)
    assert found(shelf.index) == ["frost-mist", "no-cook-soup"]


def test_many_saves_stay_few_segments_and_lose_nothing(shelf: Shelf):
    for number in range(30):
        name = shelf.write(a_card("sponge-rain", body=f"lantern{number}"))
        shelf.index.refresh_files([name])
        shelf.index.refresh_files([shelf.write(a_card(f"rake-{number}", body="rakes"))])
    assert found(shelf.index, "lantern29") == ["sponge-rain"]
    assert found(shelf.index, "lantern28") == []
    assert search(shelf.index.view, Conditions(), "rakes").total == 30
    assert len(list((shelf.paths.index / "whoosh").glob("*.seg"))) < 20
    assert search(shelf.open().view, Conditions(), "rakes").total == 30


def test_folding_the_small_arrays_into_the_large_changes_no_result(shelf: Shelf, monkeypatch):
    for number in range(5):
        shelf.index.refresh_files([shelf.write(a_card(f"rake-{number}", body="rakes leaves"))])
    assert len(shelf.index.view.parts) <= 2
    before = found(shelf.index, "leaves")
    monkeypatch.setattr(index_module, "SMALLEST_DELTA", 0)
    shelf.index.refresh_files([shelf.write(a_card("last", body="rakes"))])
    assert [len(shelf.index.view.parts), found(shelf.index, "leaves")] == [1, before]


# --- files that are not as they should be


def test_an_unreadable_file_is_listed_and_the_others_are_found(shelf: Shelf):
    shelf.path(RAIN).write_text("---\ntitle: Sponge rain\n", encoding="utf-8")
    shelf.index.refresh()
    assert found(shelf.index) == ["frost-mist", "no-cook-soup"]
    assert [problem.file for problem in shelf.index.problems()] == [
        "activities/water/sponge-rain.md"
    ]


def test_problems_are_known_at_the_next_start_without_reading(shelf: Shelf):
    shelf.path(RAIN).write_text("no front matter", encoding="utf-8")
    shelf.index.refresh()
    again = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    assert again.refresh().read == 0
    assert again.problems() == shelf.index.problems() != []


def test_of_two_files_with_one_id_the_first_counts_until_it_goes(shelf: Shelf):
    twin = shelf.paths.activities / "art" / "sponge-rain.md"
    twin.parent.mkdir()
    twin.write_bytes(shelf.path(RAIN).read_bytes().replace(b"leaves", b"lanterns"))
    shelf.index.refresh()
    assert found(shelf.index, "lanterns") == ["sponge-rain"]
    assert found(shelf.index, "leaves") == []
    assert any("the same id" in problem.problem for problem in shelf.index.problems())
    twin.unlink()
    shelf.index.refresh()
    assert found(shelf.index, "leaves") == ["sponge-rain"]
    assert len(found(shelf.index)) == 3


def test_a_save_beside_a_twin_looks_at_all_files(shelf: Shelf):
    twin = shelf.paths.activities / "art" / "sponge-rain.md"
    twin.parent.mkdir()
    twin.write_bytes(shelf.path(RAIN).read_bytes().replace(b"leaves", b"lanterns"))
    shelf.index.refresh_files(["activities/art/sponge-rain.md"])
    assert len(found(shelf.index)) == 3
    assert found(shelf.index, "lanterns") == ["sponge-rain"]


# --- materials


def test_a_new_name_for_a_material_is_known_at_once(shelf: Shelf):
    """Only the cards that use the material are read again."""
    assert found(shelf.index, "plant sprayer") == []
    text = MATERIALS.replace("[mister]", "[mister, plant sprayer]")
    (shelf.paths.activities / "materials.yaml").write_text(text, encoding="utf-8")
    assert shelf.index.refresh() == Changes(1, ("frost-mist",), ())
    assert found(shelf.index, "plant sprayer") == ["frost-mist"]


def test_a_name_that_changed_while_nothing_ran_is_known_at_the_next_start(shelf: Shelf):
    text = MATERIALS.replace("[mister]", "[mister, plant sprayer]")
    (shelf.paths.activities / "materials.yaml").write_text(text, encoding="utf-8")
    again = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    assert again.refresh().changed == ("frost-mist",)
    assert found(again, "plant sprayer") == ["frost-mist"]


# --- damage

# Whoosh leaves a table of contents open that it cannot read; the collector closes it.
leaves_open = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")


def damage_of(shelf: Shelf) -> dict[str, list[Path]]:
    folder = shelf.paths.index
    return {
        "arrays": list(folder.glob("arrays-*")),
        "segment": list((folder / "whoosh").glob("*.seg")),
        "contents": list((folder / "whoosh").glob("*.toc")),
        "manifest": [folder / "manifest.jsonl"],
        "state": [folder / "state.json"],
    }


@leaves_open
@pytest.mark.parametrize("part", ["arrays", "segment", "contents", "manifest", "state"])
@pytest.mark.parametrize("how", ["gone", "empty", "half", "garbage"])
def test_whatever_is_damaged_is_made_anew(tmp_path: Path, part: str, how: str, monkeypatch):
    """A start finds every card whatever happened to the index: its files are only a copy."""
    monkeypatch.setattr(index_module, "SMALLEST_DELTA", 0)
    shelf = Shelf(tmp_path, RAIN, MIST, SOUP)
    files = damage_of(shelf)[part]
    assert files
    for file in files:
        content = file.read_bytes()
        if how == "gone":
            file.unlink()
        else:
            new = {"empty": b"", "half": content[: len(content) // 2], "garbage": os.urandom(999)}
            file.write_bytes(new[how])
    assert found(shelf.open()) == ALL
    assert found(shelf.open(), "ladles") == ["no-cook-soup"]


@leaves_open
def test_damage_found_on_a_change_is_mended(shelf: Shelf):
    for file in (shelf.paths.index / "whoosh").iterdir():
        file.write_bytes(b"x")
    shelf.write(a_card("rake-run"))
    shelf.index.refresh()
    assert found(shelf.index) == sorted([*ALL, "rake-run"])


def test_an_index_of_another_version_is_made_anew(shelf: Shelf):
    path = shelf.paths.index / "state.json"
    path.write_text(json.dumps({**json.loads(path.read_text()), "format": "older"}))
    again = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    assert again.refresh().read == 3
    assert found(again) == ALL


def test_a_line_of_the_manifest_that_was_cut_short_costs_one_reading(shelf: Shelf):
    path = shelf.paths.index / "manifest.jsonl"
    shelf.write(a_card("sponge-rain", body="Now with lanterns."))
    shelf.index.refresh()
    path.write_bytes(path.read_bytes()[:-20])
    again = shelf.open()
    assert found(again, "lanterns") == ["sponge-rain"]
    assert len(found(again)) == 3


# --- several at once


@contextmanager
def another_writing(shelf: Shelf) -> Iterator[None]:
    """Another process holds the index's lock."""
    code = (
        "import sys, pathlib; from library.store.locks import one_writer\n"
        "with one_writer(pathlib.Path(sys.argv[1])):\n"
        "    print('held', flush=True); sys.stdin.read()"
    )
    lock = str(shelf.paths.index / "lock")
    with subprocess.Popen(
        [sys.executable, "-c", code, lock],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=Path(__file__).parents[3],
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"held\n"
        yield
        other.communicate(b"")


def test_while_another_writes_what_is_there_can_be_searched(tmp_path: Path, monkeypatch):
    monkeypatch.setattr(index_module, "SMALLEST_DELTA", 0)
    shelf = Shelf(tmp_path, RAIN, MIST, SOUP)
    second = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    with another_writing(shelf):
        with pytest.raises(IndexBusy):
            second.refresh(wait_seconds=0.1)
        assert found(second) == ALL
    assert second.refresh() == Changes()


def test_what_another_process_wrote_is_taken_over(shelf: Shelf):
    other = SearchIndex(shelf.paths, CardFolder(shelf.paths))
    shelf.write(a_card("rake-run"))
    assert other.refresh().changed == ("rake-run",)
    assert shelf.index.refresh() == Changes()
    assert "rake-run" in found(shelf.index)
    other.rebuild()
    shelf.write(a_card("rake-walk"))
    assert shelf.index.refresh().changed == ("rake-walk",)
    assert len(found(shelf.index)) == 5


def test_a_search_under_way_keeps_its_view(shelf: Shelf):
    before = shelf.index.view
    shelf.path(RAIN).unlink()
    shelf.index.refresh()
    assert search(before, Conditions()).total == 3
    assert search(shelf.index.view, Conditions()).total == 2


def test_another_process_reads_the_same(shelf: Shelf):
    names = shelf.index.view.names
    files = shelf.folder.files()
    here = list(reading.read_files(files, names, processes=0))
    apart = list(reading.read_files(files, names, processes=1))
    assert sorted(apart, key=lambda read: read.file.file) == here


def test_progress_is_told_in_files(tmp_path: Path, monkeypatch):
    shelf = Shelf(tmp_path, *(a_card(f"card-{number}") for number in range(60)))
    told: list[tuple[int, int]] = []
    shelf.index.rebuild(lambda done, total: told.append((done, total)))
    assert told == [(50, 60), (60, 60)]


def test_the_index_never_lies_in_the_library(shelf: Shelf):
    names = {path.name for path in shelf.paths.folder.rglob("*")}
    assert not names & {"manifest.jsonl", "state.json", "whoosh", "lock"}


def test_a_held_lock_of_this_process_is_no_obstacle(shelf: Shelf):
    with one_writer(shelf.paths.index / "lock"):
        pass
    assert shelf.index.refresh() == Changes()
