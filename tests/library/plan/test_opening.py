"""A plan is read from the files as they are, however often it was read before."""

import pytest

from library.plan.opening import open_plan
from library.units.parsing import write_theme, write_unit
from tests.builders import CARD_TEXT, a_placement, a_room, a_theme, a_unit, write_library

UNIT = "leaves-and-wind/2026-fall"
SPONGE = "- {item: hand sponge, kind: durable}\n"


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT}, SPONGE)
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir(parents=True)
    (folder / "theme.md").write_text(write_theme(a_theme()))
    (folder / "2026-fall.md").write_text(write_unit(a_unit(a_placement("water", "sponge-rain"))))
    return paths


def change(path, old, new):
    """Other text of the same length, so that only what stands in the file tells."""
    assert len(old) == len(new)
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def test_every_file_that_changed_shows_in_the_next_plan(paths):
    before = open_plan(paths, UNIT, a_room())
    change(paths.activities / "water/sponge-rain.md", "Sponge rain", "Sponge snow")
    change(paths.activities / "materials.yaml", "kind: durable", "kind: book   ")
    change(paths.themes / "leaves-and-wind/theme.md", before.theme.title, before.theme.title[::-1])
    change(paths.themes / f"{UNIT}.md", "center: water", "center: blocs")
    after = open_plan(paths, UNIT, a_room())
    assert after.title_of(after.placed[0]) == "Sponge snow"
    assert after.materials.find("hand sponge").kind.value == "book"
    assert after.theme.title == before.theme.title[::-1]
    assert after.placed[0].center == "blocs"


def test_whether_the_eu_list_is_read_is_asked_each_time(paths):
    assert not open_plan(paths, UNIT, a_room()).materials.eu
    (paths.activities / "allergens.yaml").write_text("lists: [us, eu]\n")
    assert open_plan(paths, UNIT, a_room()).materials.eu
