"""A few lines about an activity: what they name and no field took is said, and never dropped."""

from __future__ import annotations

import pytest

from library.search.question import read_question
from library.search.unplaced import not_understood
from library.search.vocabulary import vocabulary_of

VOCABULARY = vocabulary_of(
    centers={"water": ["water table"], "art": ["art table"]},
    materials={
        "food color": ["food coloring"],
        "tray": [],
        "wide brush": ["big brush"],
        "hand sponge": [],
        "mild soap": ["soap"],
        "plastic bowl": ["big bowl"],
        "washable tempera paint": ["paint"],
        "finger paint": ["paint"],
    },
    allergens=("milk",),
)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (
            "Yogurt painting. Children paint with plain yogurt, food coloring, trays and big brushes",
            ("plain yogurt",),
        ),
        ("Yogurt swirl at the art table with plain yogurt. Older twos.", ("plain yogurt",)),
        (
            "Foam hills. Water table, older twos, five minutes of prep, with hand sponges and soap.",
            (),
        ),
        ("Rain sticks. You need dried chickpeas and some tape.", ("dried chickpeas", "tape")),
        ("With a big bowl of custard (cold), one adult within reach", ("custard", "cold")),
        ("Put out 2 cups of oatmeal on trays, then rinse them", ("oatmeal", "trays")),
        ("Water table, older twos, plain yogurt.", ("plain yogurt",)),
        ("Materials: - coconut milk - Coconut milk - trays", ("Coconut milk", "trays")),
        ("Children scoop, pour and splash.", ()),
        ("Trays with soap for two children, no milk", ()),
        ("", ()),
    ],
)
def test_what_a_list_names_and_no_field_took_is_told(lines, told):
    assert not_understood(read_question(lines, VOCABULARY)) == told


def test_what_may_be_several_materials_is_told_since_none_was_chosen():
    assert not_understood(read_question("Swirls with paint and soap", VOCABULARY)) == ("paint",)
