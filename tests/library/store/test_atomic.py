"""Files are written whole or not at all."""

import os
import stat

import pytest

from library.store import atomic
from library.store.atomic import create_file, fingerprint, remove_file, replace_file
from library.store.errors import NameTaken, StaleFile


def leftovers(folder):
    return [path.name for path in folder.iterdir() if path.name.endswith(".tmp")]


def test_replacing_keeps_the_mode_and_leaves_nothing_behind(tmp_path):
    card = tmp_path / "a.md"
    card.write_bytes(b"old")
    card.chmod(0o640)

    mark = replace_file(card, b"new", expected=fingerprint(b"old"))

    assert card.read_bytes() == b"new"
    assert mark == fingerprint(b"new")
    assert stat.S_IMODE(card.stat().st_mode) == 0o640
    assert leftovers(tmp_path) == []


def test_a_file_that_changed_meanwhile_is_not_overwritten(tmp_path):
    card = tmp_path / "a.md"
    card.write_bytes(b"theirs")

    with pytest.raises(StaleFile):
        replace_file(card, b"mine", expected=fingerprint(b"old"))

    assert card.read_bytes() == b"theirs"


def test_a_file_that_was_removed_meanwhile_is_not_made_anew(tmp_path):
    with pytest.raises(StaleFile):
        replace_file(tmp_path / "a.md", b"mine", expected=fingerprint(b"old"))
    assert list(tmp_path.iterdir()) == []


def test_a_link_stays_a_link(tmp_path):
    target = tmp_path / "real.md"
    target.write_bytes(b"old")
    link = tmp_path / "link.md"
    link.symlink_to(target)

    replace_file(link, b"new", expected=None)

    assert link.is_symlink()
    assert target.read_bytes() == b"new"


@pytest.mark.parametrize("name", ["a.md", "A.md"])
def test_creating_never_overwrites_not_even_by_case(tmp_path, name):
    (tmp_path / "a.md").write_bytes(b"theirs")
    with pytest.raises(NameTaken):
        create_file(tmp_path / name, b"mine")
    assert (tmp_path / "a.md").read_bytes() == b"theirs"
    assert leftovers(tmp_path) == []


def test_a_new_file_can_be_read_as_the_umask_says(tmp_path):
    create_file(tmp_path / "deep" / "a.md", b"new")
    mode = stat.S_IMODE((tmp_path / "deep" / "a.md").stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    assert mode == 0o666 & ~mask


def test_a_disk_without_hard_links_still_never_overwrites(tmp_path, monkeypatch):
    def no_links(self, target):
        raise OSError("not supported")

    monkeypatch.setattr("pathlib.Path.hardlink_to", no_links)
    create_file(tmp_path / "a.md", b"new")
    assert (tmp_path / "a.md").read_bytes() == b"new"
    with pytest.raises(NameTaken):
        atomic._create_in_place(tmp_path / "a.md", b"other")


@pytest.mark.parametrize("broken", ["fsync", "replace"])
def test_a_failure_on_the_way_keeps_the_old_file(tmp_path, monkeypatch, broken):
    card = tmp_path / "a.md"
    card.write_bytes(b"old")

    def fail(*_, **__):
        raise OSError(28, "No space left on device")

    where = "os.fsync" if broken == "fsync" else "pathlib.Path.replace"
    monkeypatch.setattr(where, fail)
    with pytest.raises(OSError, match="No space left"):
        replace_file(card, b"new", expected=None)

    assert card.read_bytes() == b"old"
    assert leftovers(tmp_path) == []


def test_removing_is_refused_when_the_file_changed(tmp_path):
    card = tmp_path / "a.md"
    card.write_bytes(b"theirs")
    with pytest.raises(StaleFile):
        remove_file(card, expected=fingerprint(b"old"))
    assert card.exists()
    remove_file(card, expected=fingerprint(b"theirs"))
    assert not card.exists()
