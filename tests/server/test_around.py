"""Hands, water and tables stand in the set-up of a card and of the day, with minutes and sources."""

import pytest

from library.units.parsing import write_theme, write_unit
from tests.builders import (
    CARD_TEXT,
    MONDAY,
    a_child,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)
from tests.server.pages import soup, words

BLOCKS = CARD_TEXT.replace("[water, science]", "[blocks]")
TODAY = f"/today?day={MONDAY.isoformat()}"


@pytest.fixture
def paths(tmp_path):
    cards = {"water/sponge-rain.md": CARD_TEXT, "blocks/ramps.md": BLOCKS}
    paths = write_library(tmp_path, cards)
    (paths.themes / "leaves-and-wind").mkdir()
    (paths.themes / "leaves-and-wind" / "theme.md").write_text(write_theme(a_theme()))
    unit = a_unit(
        a_placement("water", "sponge-rain"),
        a_placement("dough", None, standing=True),
        a_placement("blocks", "ramps"),
        starts=MONDAY,
    )
    (paths.themes / "leaves-and-wind" / "2026-fall.md").write_text(write_unit(unit))
    return paths


def test_a_water_card_says_what_is_done_before_between_and_after(client):
    """CFOC 6.2.4.2: eight children in groups of four have fresh water twice."""
    text = words(client.get("/activities/sponge-rain?children=8"))
    for part in ("Just before the children 9 min", "Between groups 10 min", "Right after 12 min"):
        assert part in text
    assert "CFOC 6.2.4.2" in text
    assert "common practice, no source" in text
    assert "Between groups" not in words(client.get("/activities/sponge-rain?children=4"))


def test_a_card_at_blocks_has_none(client):
    assert "Just before the children" not in words(client.get("/activities/ramps"))


def test_today_ticks_them_off_and_names_no_child(client, app):
    """CFOC 5.2.9.8, also where the dough stands without a card."""
    wren = a_child("wren", (2024, 6), allergens=("wheat",))
    app.extensions["lowshelf"].rooms.save(a_room(wren, centers=("water", "dough", "blocks")))
    page = soup(client.get(TODAY))
    water, dough, blocks = (page.select_one(f"#at-{c}") for c in ("water", "dough", "blocks"))
    assert "fresh drinking water" in water.select_one(".todo").text
    assert "portion of their own" in dough.select_one(".todo").text
    boxes = " ".join(label.text for label in page.select(".todo label"))
    assert "Wash all hands" in boxes
    assert "portion of their own" not in boxes  # kept in mind, and nothing to tick off
    assert "Right after" in dough.select_one("details").text
    assert "Wash all hands" not in blocks.text
    assert "wren" not in page.text
    assert "wheat" not in page.text
    ticks = [box["data-tick"] for box in page.select("[data-tick]")]
    assert len(ticks) == len(set(ticks))
