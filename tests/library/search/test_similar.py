"""Similar cards say why; likely duplicates are few."""

import pytest

from library.search.similar import likely_duplicates, similar_cards
from tests.builders import a_card, a_material_line
from tests.library.search.libraries import Shelf


@pytest.fixture
def shelf(tmp_path):
    sponge, rice = a_material_line("hand sponge"), a_material_line("white rice")
    shelf = Shelf(
        tmp_path,
        a_card("sponge-rain", technique="sponge squeezing", materials=(sponge,)),
        a_card("sponge-print", technique="printing", materials=(a_material_line("bath sponge"),)),
        a_card("cloud-squeeze", technique="Sponge squeezing", materials=(rice,)),
        a_card("towel-dance", technique="dancing", materials=(a_material_line("towel"),)),
    )
    shelf.index.refresh()
    return shelf


def test_the_same_technique_comes_before_the_same_materials(shelf):
    card = shelf.folder.read("sponge-rain").card
    found = similar_cards(card, shelf.index.view)
    assert [(each.id, each.why) for each in found] == [
        ("cloud-squeeze", "same technique: sponge squeezing"),
        ("sponge-print", "also with hand sponge"),
    ]


def test_a_card_written_again_is_a_likely_duplicate(shelf):
    again = a_card("rain-sponge", title="Rain sponge")
    assert [each.id for each in likely_duplicates(again, shelf.index.view)] == ["sponge-rain"]
    assert likely_duplicates(a_card("x", title="Leaf boats"), shelf.index.view) == ()
