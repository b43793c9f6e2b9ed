"""The page of a card: where it stood, how it went, and how any theme would dress it."""

import pytest

from library.units.parsing import write_theme, write_unit
from library.units.unit import Again, LookBack
from tests.builders import MONDAY, a_placement, a_theme, a_unit
from tests.server.pages import soup, words

CARD = "/activities/sponge-rain"


@pytest.fixture
def paths(paths):
    """The library of one card with two themes; one has no word for what catches the rain."""
    themes = (
        a_theme(props={"catcher": "curled silk leaves"}),
        a_theme("by-the-sea", title="By the sea"),
    )
    for theme in themes:
        (paths.themes / theme.id).mkdir()
        (paths.themes / theme.id / "theme.md").write_text(write_theme(theme))
    return paths


def _write(paths, name, *placements, **fields):
    unit = a_unit(*placements, name=name, **fields)
    (paths.themes / "leaves-and-wind" / f"{name}.md").write_text(write_unit(unit))


def _section(client, title):
    heading = soup(client.get(CARD)).find("h2", string=title)
    return heading.find_parent("section") if heading else None


def test_it_lists_where_it_stood_and_how_it_went_the_latest_first(client, paths):
    said = LookBack("sponge-rain", Again.CHANGE, 11, "slid; clip both edges")
    _write(
        paths,
        "2025-fall",
        a_placement(),
        title="Leaves, fall 2025",
        starts=MONDAY.replace(year=2025, day=6),
        look_back=(said,),
    )
    _write(
        paths,
        "2026-fall",
        a_placement("science"),
        a_placement("outdoors", "run", instead="sponge-rain"),
    )
    lines = [
        " ".join(line.get_text(" ").split())
        for line in _section(client, "Where it stood").select(".lines li")
    ]
    assert lines[0].startswith("Leaves and wind, fall 2026 Science, Outdoors")
    assert lines[1].startswith("Leaves, fall 2025 Water")
    assert lines[1].endswith("again, but changed; prep took 11 min: slid; clip both edges")
    assert "Prep: planned 8, took 11 minutes." in words(client.get(CARD))


def test_a_card_that_never_stood_anywhere_has_no_such_list(client, paths):
    assert _section(client, "Where it stood") is None


def test_any_theme_can_be_tried_on(client, paths):
    page = soup(client.get(CARD))
    assert "rains on shallow lids" in page.select_one("main").text
    choices = {option.text: option["value"] for option in page.select("#theme option")}
    assert set(choices.values()) == {"", "by-the-sea", "leaves-and-wind"}
    dressed = client.get(f"{CARD}?theme=leaves-and-wind")
    assert "rains on curled silk leaves" in words(dressed)
    assert "shallow lids" not in words(dressed)


def test_a_prop_that_the_theme_lacks_is_listed_with_the_default_shown(client, paths):
    page = soup(client.get(f"{CARD}?theme=by-the-sea"))
    assert "rains on shallow lids" in page.select_one("main").text
    heading = page.find("h2", string="In the dress of a theme")
    line = heading.find_next("ul").select_one("li")
    assert " ".join(line.get_text(" ").split()) == "catcher shallow lids (the card’s own)"
