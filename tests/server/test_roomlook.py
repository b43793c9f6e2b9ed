"""What the list of Find says of a card in this room: what is on hand, what wants a second look."""

import datetime as dt

import pytest

from library.room.rooms import Rooms
from library.units.findings import Level
from server import create_app
from server.roomlook import on_hand, second_look
from server.settings import load_settings
from tests.browser.places import starter_library
from tests.builders import a_book, a_card, a_child, a_material, a_material_line, a_room
from tests.server.pages import words

BOOK = a_book(
    a_material("hand sponge", also=("bath sponge",)),
    a_material("flour", allergens=("wheat",)),
    a_material("tray"),
    a_material("jug"),
)
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
    assert on_hand(takes, there, BOOK) == said


def test_an_allergen_of_a_child_who_comes_is_a_stop_without_saying_whose():
    card = a_card(centers=("table",), materials=(a_material_line("flour", "1 cup per setup"),))
    look = second_look(card, a_room(a_child("wren", allergens=("wheat",))), BOOK, TODAY)
    assert (look.level, look.about) == (Level.STOP, ("allergens",))
    assert second_look(card, a_room(a_child("tern", allergens=("egg",))), BOOK, TODAY) is None


def test_find_shows_both_once_a_room_is_known(tmp_path):
    paths = starter_library(tmp_path)
    app = create_app(load_settings(paths, {}, watch=False))
    app.extensions["lowshelf"].refresh()
    client = app.test_client()
    before = words(client.get("/?q=sponge+rain"))
    assert "on hand" not in before
    assert "second look" not in before
    room = Rooms(paths.database).load_demo(dt.date.today())
    text = words(client.get("/?q=sponge+rain"))
    assert "all of it on hand" in text
    assert "second look" not in text
    text = words(client.get("/?q=first+dough"))
    assert "Stop. A second look: allergens" in text
    assert "Your local licensing rules" in text
    assert not [child.label for child in room.children if child.label in text.split()]
