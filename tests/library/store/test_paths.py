"""Names stay inside their folders, private data outside the library."""

import pytest

from library.store.errors import UnsafePath, WrongUse
from library.store.paths import check_id, inside, library_paths, make_id


@pytest.fixture
def library(tmp_path):
    for name in ("activities", "themes"):
        (tmp_path / "library" / name).mkdir(parents=True)
    return tmp_path / "library"


def test_the_working_folder_is_the_library_if_it_holds_both(library):
    assert library_paths(None, None, working=library).folder == library.resolve()


def test_a_folder_that_is_no_library_says_what_to_run(tmp_path):
    with pytest.raises(WrongUse, match="lowshelf new"):
        library_paths(None, None, working=tmp_path)


def test_the_data_folder_is_never_inside_the_library(library):
    with pytest.raises(WrongUse, match="inside the library"):
        library_paths(library, library / "private", working=library)
    default = library_paths(library, None, working=library).data
    assert not default.is_relative_to(library)


def test_two_libraries_of_one_name_have_two_data_folders(tmp_path):
    for part in ("one", "two"):
        for name in ("activities", "themes"):
            (tmp_path / part / "shelf" / name).mkdir(parents=True)
    first, second = (
        library_paths(tmp_path / p / "shelf", None, working=tmp_path).data for p in ("one", "two")
    )
    assert first != second


@pytest.mark.parametrize(
    "bad", ["", "..", "a/b", "a\\b", ".hidden", "A", "a_b", "con", "-a", "a-", "é", "a" * 81, "a\0"]
)
def test_what_cannot_be_an_id_is_refused(bad):
    with pytest.raises(UnsafePath):
        check_id(bad)


@pytest.mark.parametrize("part", ["..", "a/b", "a\\b", "", ".git", "c:", "a\0"])
def test_a_path_part_never_leads_out(tmp_path, part):
    with pytest.raises(UnsafePath):
        inside(tmp_path, part)


def test_a_link_that_leads_out_is_refused(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "out").symlink_to(tmp_path)
    with pytest.raises(UnsafePath):
        inside(tmp_path / "folder", "out")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Sponge rain", "sponge-rain"),
        ("  Añil & ice!  ", "anil-ice"),
        ("☂", "card"),
        ("Con", "con-card"),
    ],
)
def test_a_title_becomes_an_id(title, name):
    assert make_id(title) == name
    assert check_id(make_id(title)) == name


@pytest.mark.parametrize("parts", [("a" * 256,), ("é" * 128,), ("ab",) * 2_000])
def test_a_path_that_no_disk_takes_is_refused_in_words(tmp_path, parts):
    with pytest.raises(UnsafePath, match="too long"):
        inside(tmp_path, *parts)
