"""Themes and units on disk: nothing is dropped, overwritten or half renamed."""

import os

import pytest

from library.store.errors import Invalid, NameTaken, NotFound, StaleFile, UnsafePath, WrongUse
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from library.units.parsing import write_unit
from library.units.renaming import follow, rename_card
from library.units.unit import split_unit_id
from tests.builders import a_placement, a_theme, a_unit

CARD = "---\ntitle: Sponge rain\ncenters: [water]\nages: 24-48\nprep: 5\n---\n\nRain.\n"
UNIT = """\
---
title: Leaves and wind, fall 2026
starts: 2026-10-05  # after the holiday
weeks: 2
placements:
  - {center: water, activity: sponge-rain, weeks: [1]}   # loved
  - {center: outdoors, activity: rake-run, instead: sponge-rain}
  - {center: art, activity: sponge-rain-2}
look_back:
  - {activity: sponge-rain, again: yes}
---

sponge-rain stays a favourite.
"""


@pytest.fixture
def paths(tmp_path):
    found = LibraryPaths(tmp_path / "library", tmp_path / "data")
    (found.activities / "water").mkdir(parents=True)
    (found.activities / "water" / "sponge-rain.md").write_text(CARD)
    for theme, name in (("leaves-and-wind", "2026-fall"), ("puddle-days", "2026-spring")):
        (found.themes / theme).mkdir(parents=True)
        (found.themes / theme / f"{name}.md").write_text(UNIT)
    (found.themes / "leaves-and-wind" / "theme.md").write_text("---\ntitle: Leaves and wind\n---\n")
    return found


@pytest.fixture
def folder(paths):
    return UnitFolder(paths)


def files_of(paths):
    return {
        path.relative_to(paths.folder).as_posix(): path.read_bytes()
        for path in sorted(paths.folder.rglob("*"))
        if path.is_file()
    }


def test_all_themes_and_units_are_found(folder):
    assert folder.theme_ids() == ["leaves-and-wind", "puddle-days"]
    assert folder.unit_ids() == ["leaves-and-wind/2026-fall", "puddle-days/2026-spring"]
    leaves, puddles = folder.themes()
    assert leaves.title == "Leaves and wind"
    assert [p.problem for p in puddles.problems] == ["theme.md is missing"]


def test_what_cannot_be_read_is_listed_and_stops_nothing(folder, paths):
    theme = paths.themes / "leaves-and-wind"
    (theme / "2024-fall.md").write_text("---\ntitle: Old\n---\n")
    (theme / "2023-fall.md").write_bytes(b"---\ntitle: caf\xe9\n---\n")
    (theme / "Fall 22.md").write_text(UNIT)
    (theme / "README.md").write_text("About this folder")
    units, problems = folder.read_all()
    assert [unit.id for unit in units] == ["leaves-and-wind/2026-fall", "puddle-days/2026-spring"]
    assert {p.file.rsplit("/", 1)[1] for p in problems} == {
        "2024-fall.md",
        "2023-fall.md",
        "Fall 22.md",
    }


def test_a_unit_that_is_not_there_is_answered_with_those_that_are(folder):
    with pytest.raises(NotFound, match="leaves-and-wind/2026-fall"):
        folder.read("leaves-and-wind/2025-fall")


@pytest.mark.parametrize("name", ["leaves", "a/b/c", "../x/y", "leaves/theme", "a b/c", "/"])
def test_a_name_that_is_no_unit_is_wrong_use(folder, name):
    with pytest.raises(WrongUse):
        folder.read(name)


def test_the_path_of_a_unit_file_is_understood():
    assert split_unit_id("themes/puddle-days/2026-spring.md") == ("puddle-days", "2026-spring")


def test_a_new_unit_never_overwrites_one(folder, paths):
    """CLONE11: what is there already is refused and nothing is written."""
    before = files_of(paths)
    with pytest.raises(NameTaken):
        folder.create("leaves-and-wind/2026-fall", "---\n---\n")
    assert files_of(paths) == before
    folder.create("by-the-sea/2026-summer", write_unit(a_unit(a_placement())))
    assert folder.exists("by-the-sea/2026-summer")


def test_a_save_is_refused_when_the_file_changed_meanwhile(folder, paths):
    read = folder.read("puddle-days/2026-spring")
    path = paths.themes / "puddle-days" / "2026-spring.md"
    path.write_text(UNIT + "\nAnother line.\n")
    with pytest.raises(StaleFile):
        folder.save("puddle-days/2026-spring", read.text, expected=read.fingerprint)
    assert path.read_text().endswith("Another line.\n")


def test_a_byte_order_mark_survives_a_save(folder, paths):
    path = paths.themes / "puddle-days" / "2026-spring.md"
    path.write_bytes(b"\xef\xbb\xbf" + UNIT.encode())
    read = folder.read("puddle-days/2026-spring")
    folder.save("puddle-days/2026-spring", read.text, expected=read.fingerprint)
    assert path.read_bytes() == b"\xef\xbb\xbf" + UNIT.encode()


def test_a_theme_can_be_written_and_changed(folder):
    folder.create_theme(a_theme("long-shadows", title="Long shadows"))
    read = folder.read_theme("long-shadows")
    changed = a_theme("long-shadows", title="Long shadows", props={"light": "flashlights"})
    folder.save_theme(changed, expected=read.fingerprint)
    assert folder.read_theme("long-shadows").theme == changed
    with pytest.raises(StaleFile):
        folder.save_theme(read.theme, expected=read.fingerprint)
    with pytest.raises(UnsafePath):
        folder.create_theme(a_theme("Long Shadows"))


def test_a_card_knows_where_it_stands(folder):
    uses = folder.uses("sponge-rain")
    assert len(uses) == 4
    assert [use.placement.instead == "sponge-rain" for use in uses] == [False, True, False, True]


def test_a_renamed_card_keeps_its_placements(paths):
    """References follow in placements, rain swaps and look-backs; nothing else changes."""
    changed = rename_card(paths, "sponge-rain", "sponge-storm")
    assert changed == ["themes/leaves-and-wind/2026-fall.md", "themes/puddle-days/2026-spring.md"]
    text = (paths.themes / "puddle-days" / "2026-spring.md").read_text()
    head, body = UNIT.split("---\n\n")
    expected = head.replace("sponge-rain,", "sponge-storm,").replace(
        "sponge-rain}", "sponge-storm}"
    )
    assert text == f"{expected}---\n\n{body}"
    assert "activity: sponge-rain-2" in text
    assert not (paths.activities / "water" / "sponge-rain.md").exists()
    assert (paths.activities / "water" / "sponge-storm.md").read_text() == CARD


def test_renaming_there_and_back_leaves_the_same_bytes(paths):
    before = files_of(paths)
    rename_card(paths, "sponge-rain", "sponge-storm")
    rename_card(paths, "sponge-storm", "sponge-rain")
    assert files_of(paths) == before


def test_a_unit_that_cannot_be_read_stops_the_renaming_before_anything_changes(paths):
    """Every file or none."""
    broken = paths.themes / "puddle-days" / "2027-spring.md"
    broken.write_text("---\nplacements: [{activity: sponge-rain}\n---\n")
    before = files_of(paths)
    with pytest.raises(Invalid, match="2027-spring"):
        rename_card(paths, "sponge-rain", "sponge-storm")
    assert files_of(paths) == before


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="needs a folder it cannot write"
)
def test_a_folder_that_cannot_be_written_puts_everything_back(paths):
    before = files_of(paths)
    locked = paths.themes / "puddle-days"
    locked.chmod(0o555)
    try:
        with pytest.raises(OSError, match="denied"):
            rename_card(paths, "sponge-rain", "sponge-storm")
    finally:
        locked.chmod(0o755)
    assert files_of(paths) == before


def test_a_write_that_fails_half_way_puts_everything_back(paths, monkeypatch):
    """Every file or none: the second file of three cannot be written."""
    from library.units import folder as module

    before = files_of(paths)
    real, calls = module.replace_file, []

    def failing(path, content, *, expected):
        calls.append(path)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        return real(path, content, expected=expected)

    monkeypatch.setattr(module, "replace_file", failing)
    with pytest.raises(OSError, match="No space"):
        rename_card(paths, "sponge-rain", "sponge-storm")
    assert files_of(paths) == before


def test_a_renaming_that_was_interrupted_can_be_done_again(paths):
    """A kill between two files leaves both names in place; the second try finishes."""
    (paths.activities / "water" / "sponge-storm.md").write_text(CARD)
    first = paths.themes / "leaves-and-wind" / "2026-fall.md"
    first.write_text(follow(UNIT, "sponge-rain", "sponge-storm"))
    assert rename_card(paths, "sponge-rain", "sponge-storm") == [
        "themes/puddle-days/2026-spring.md"
    ]
    assert not (paths.activities / "water" / "sponge-rain.md").exists()


def test_a_name_of_another_card_is_refused(paths):
    (paths.activities / "water" / "rain-2.md").write_text(CARD.replace("Sponge", "Other"))
    before = files_of(paths)
    with pytest.raises(NameTaken):
        rename_card(paths, "sponge-rain", "rain-2")
    assert files_of(paths) == before


@pytest.mark.parametrize("name", ["a" * 300, "theme", "../x", "A", ""])
def test_what_no_disk_could_hold_is_no_name_of_a_unit(folder, name):
    with pytest.raises(WrongUse, match="expected THEME/UNIT"):
        folder.read(f"puddle-days/{name}")
    with pytest.raises(WrongUse, match="expected THEME/UNIT"):
        folder.read(f"{name or '-'}/2026-spring".replace("theme/", "Theme/"))
