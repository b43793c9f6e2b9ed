"""What the list of Find says of a card in this room: what is on hand, what wants a second look."""

import datetime as dt

import pytest

from library.room.rooms import Rooms
from library.units.findings import Level
from library.units.parsing import write_theme, write_unit
from server import create_app
from server.roomlook import main_names, on_hand, second_look, stops_here
from server.settings import load_settings
from tests.browser.places import starter_library
from tests.builders import (
    CARD_TEXT,
    a_book,
    a_card,
    a_child,
    a_material,
    a_material_line,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)
from tests.server.pages import soup, words

BOOK = a_book(
    a_material("hand sponge", also=("bath sponge",)),
    a_material("flour", allergens=("wheat",)),
    a_material("tray"),
    a_material("jug"),
)
DOUGH = CARD_TEXT.replace("item: hand sponge", "item: flour").replace("[water, science]", "[table]")
FLOUR = "- {item: flour, kind: consumable, loose: false, allergens: [wheat]}\n"
TODAY = dt.date(2026, 10, 5)


@pytest.mark.parametrize(
    ("takes", "there", "said"),
    [
        (["hand sponge", "water"], ["bath sponge"], "all of it on hand"),
        (["hand sponge", "tray"], ["hand sponge"], "on hand but for tray"),
        (["hand sponge", "tray", "jug", "flour"], ["jug"], "1 of 4 things on hand"),
        (["hand sponge"], [], ""),
        ([], ["jug"], ""),
    ],
)
def test_it_says_in_words_how_much_is_there_under_any_name(takes, there, said):
    assert on_hand(takes, main_names(there, BOOK), BOOK) == said


def test_an_allergen_of_a_child_who_comes_is_a_stop_without_saying_whose():
    card = a_card(centers=("table",), materials=(a_material_line("flour", "1 cup per setup"),))
    look = second_look(card, a_room(a_child("wren", allergens=("wheat",))), BOOK, TODAY)
    assert (look.level, look.about) == (Level.STOP, ("allergens",))
    assert second_look(card, a_room(a_child("tern", allergens=("egg",))), BOOK, TODAY) is None


def test_over_a_break_the_children_of_the_week_behind_it_are_looked_at():
    """Plans are made while the room is closed."""
    shut = frozenset(TODAY + dt.timedelta(days=number) for number in range(14))
    card = a_card(materials=(a_material_line("flour"),))
    room = a_room(a_child(allergens=("wheat",)), closed=shut)
    assert stops_here(card, room, BOOK, TODAY) == "flour (allergens)"


def test_find_shows_both_once_a_room_is_known(tmp_path):
    paths = starter_library(tmp_path)
    app = create_app(load_settings(paths, {}, watch=False))
    app.extensions["lowshelf"].refresh()
    client = app.test_client()
    before = words(client.get("/?q=sponge+rain"))
    assert "on hand" not in before
    assert "second look" not in before
    room = Rooms(paths.database).load_demo(dt.date.today())
    assert "all of it on hand" in words(client.get("/?q=sponge+rain"))
    text = words(client.get("/?q=first+dough"))
    assert "Stop. A second look: allergens" in text
    assert "Your local licensing rules" in text
    assert not [child.label for child in room.children if child.label in text.split()]
    card = words(client.get("/activities/first-dough"))
    assert "Stop for the Fern Room: flour (allergens)" in card
    assert not [child.label for child in room.children if child.label in card.split()]


def test_today_says_at_the_tray_what_must_not_be_put_out(tmp_path):
    paths = write_library(tmp_path, {"table/dough.md": DOUGH}, FLOUR)
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir(parents=True)
    (folder / "theme.md").write_text(write_theme(a_theme()))
    (folder / "2026-fall.md").write_text(write_unit(a_unit(a_placement("table", "dough"))))
    wren = a_child("wren", allergens=("wheat",), days=("mon",))
    Rooms(paths.database).save(a_room(wren, a_child("tern")))
    app = create_app(load_settings(paths, {}, watch=False))
    client = app.test_client()
    monday = words(client.get("/today?day=2026-10-05"))
    assert "Stop. Do not put this out: flour (allergens)." in monday
    assert not soup(client.get("/today?day=2026-10-05")).select("input[type=checkbox]")
    assert "Your local licensing rules" in monday
    assert "wren" not in monday
    assert "Stop." not in words(client.get("/today?day=2026-10-06"))
    assert soup(client.get("/today?day=2026-10-06")).select("input[type=checkbox]")


def test_today_says_of_a_rain_swap_too_what_must_not_be_put_out(tmp_path):
    cards = {"water/sponge-rain.md": CARD_TEXT, "table/dough.md": DOUGH}
    paths = write_library(tmp_path, cards, FLOUR)
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir(parents=True)
    (folder / "theme.md").write_text(write_theme(a_theme()))
    unit = a_unit(a_placement("water", "sponge-rain", instead="dough"))
    (folder / "2026-fall.md").write_text(write_unit(unit))
    wren = a_child("wren", allergens=("wheat",), days=("mon",))
    Rooms(paths.database).save(a_room(wren, a_child("tern")))
    client = create_app(load_settings(paths, {}, watch=False)).test_client()
    assert "Do not put this out: flour (allergens)" in words(client.get("/today?day=2026-10-05"))
    tuesday = words(client.get("/today?day=2026-10-06"))
    assert "When it rains" in tuesday
    assert "Do not put this out" not in tuesday


def test_where_an_allergen_is_ruled_out_a_label_that_nobody_has_read_is_named(paths, app, client):
    """A card stays in the list, for nothing says that it holds milk, and nothing says that it does not."""
    card = CARD_TEXT.replace("hand sponge", "plain yogurt")
    (paths.activities / "water" / "sponge-rain.md").write_text(card)
    (paths.activities / "materials.yaml").write_text(
        "- {item: plain yogurt, kind: consumable, loose: false, allergens: }\n"
        "- {item: water, kind: consumable, loose: false}\n"
    )
    app.extensions["lowshelf"].refresh()
    told = words(client.get("/?q=no+dairy"))
    assert "Not known: whether plain yogurt holds milk. Read the label first." in told
    assert "A label can say more" in told
    assert "Not known" not in words(client.get("/?q=no+paint"))
