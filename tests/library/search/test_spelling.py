"""A word that matches nothing is corrected by the library's own words."""

from __future__ import annotations

import pytest

from library.search.spelling import corrected, respelled
from library.search.view import View
from tests.builders import a_card
from tests.library.search.libraries import Shelf


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    words = "sponge sponges spoon scissors lantern lanterns leaves squeeze rainbow play dough tub"
    other = a_card("other", title="Spoon", body="A spoon. Spooning.")
    return Shelf(tmp_path_factory.mktemp("shelf"), a_card(body=words), other).index.view


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("spnge", "sponge"),
        ("spogne", "sponge"),
        ("sponnge", "sponge"),
        ("sissors", "scissors"),
        ("lantren", "lantern"),
        ("sqeeze", "squeeze"),
        ("playdough", "play dough"),
    ],
)
def test_slips(view: View, slip: str, meant: str):
    assert corrected(slip, view) == meant


@pytest.mark.parametrize("word", ["tu", "x", "helicopter", "12", "2nd", "tvb2"])
def test_what_is_unclear_is_left_alone(view: View, word: str):
    assert corrected(word, view) is None


def test_of_words_equally_near_the_one_in_most_cards_wins(view: View):
    assert corrected("spoone", view) in {"spoon", "sponge"}
    assert corrected("spoo", view) == "spoon"


def test_only_the_words_meant_are_replaced():
    assert respelled("Spnge-rain, please", {"spnge": "sponge"}) == "sponge-rain, please"
