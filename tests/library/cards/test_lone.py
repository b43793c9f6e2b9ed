"""Pictures that no card names: told from those that some file still names, also a torn one."""

import pytest

from library.cards.lone import lone_picture, lone_pictures
from library.store.errors import NotFound
from tests.builders import CARD_TEXT, write_library


@pytest.fixture
def paths(tmp_path):
    named = CARD_TEXT.replace("status: ready", "status: ready\nphotos: [Named-1.jpg]")
    torn = "---\ntitle: [torn\nphotos: [torn-1.png]\n"
    paths = write_library(tmp_path, {"water/sponge-rain.md": named, "water/torn.md": torn})
    for name in ("named-1.jpg", "torn-1.png", "lone-1.jpg", "Of a phone.jpg"):
        (paths.activities / "water" / name).write_bytes(b"\xff\xd8\xff")
    (paths.activities / "water" / "link-1.jpg").symlink_to(
        paths.activities / "water" / "lone-1.jpg"
    )
    (paths.activities / ".kept").mkdir()
    (paths.activities / ".kept" / "lone-2.jpg").write_bytes(b"\xff\xd8\xff")
    return paths


def test_only_a_picture_that_no_file_beside_it_names_is_found(paths):
    assert lone_pictures(paths) == ("activities/water/lone-1.jpg",)
    assert lone_picture(paths, "activities/water/lone-1.jpg").is_file()


@pytest.mark.parametrize(
    "file", ["", "activities/water/named-1.jpg", "../secret.jpg", "/etc/passwd"]
)
def test_nothing_else_is_given_as_one(paths, file):
    with pytest.raises(NotFound, match="no such picture"):
        lone_picture(paths, file)
