"""What the index keeps of a card."""

from __future__ import annotations

import json

from library.cards.card import catalogue
from library.cards.values import AgeRange, Step, Translation
from library.materials.parsing import parse_materials
from library.search.documents import NO_END, document_of, filtered_fields, number_names, tag_names
from library.search.names import Names, names_of
from library.search.postings import schema
from tests.builders import a_card, a_material_line
from tests.library.search.libraries import MATERIALS

NAMES = names_of(parse_materials(MATERIALS)[0], {"water": ("water", "water play")})


def test_every_field_that_filters_is_in_the_index():
    """One attribute of a card is enough: index and filters read the catalogue."""
    asked = {name for name, about in catalogue().items() if about.filtered}
    assert asked == set(filtered_fields())
    assert {"id", "words", "kept", *tag_names(), *number_names()} == set(schema().names())


def test_every_field_that_is_searched_gives_words():
    card = a_card(
        title="Tightly",
        technique="wringing",
        materials=(a_material_line("felt"),),
        steps=(Step("Fold them", 5),),
        es=Translation("Lluvia", "Esponjas."),
        body="Silk.\n\n## Invite\nWind.",
    )
    words = document_of(card, Names()).words
    assert {"tight", "wring", "felt", "fold", "lluvia", "esponja", "silk", "invit", "wind"} <= {
        *words
    }
    assert words["tight"] > words["wring"] == words["felt"] > words["invit"] > words["silk"]


def test_a_prop_is_searched_by_the_word_that_the_card_gives_it():
    card = a_card(props={"catcher": "shallow lids"}, body="Rain falls on {{catcher}}.")
    document = document_of(card, Names())
    assert "lid" in document.words
    assert document.text == "Rain falls on shallow lids."


def test_all_names_of_a_thing_are_one_term():
    by_one, by_other = (
        document_of(a_card(materials=(a_material_line(item),)), NAMES).words
        for item in ("spray bottle", "Misters")
    )
    assert by_one["=spray bottle"] == by_other["=spray bottle"] == 2


def test_a_name_in_the_text_counts_as_the_thing():
    assert document_of(a_card(body="Fill the mister."), NAMES).words["=spray bottle"] == 1


def test_a_center_comes_from_the_front_matter_alone():
    assert "=center water" in document_of(a_card(centers=("water",)), NAMES).words
    elsewhere = document_of(a_card(centers=("art",), body="Some water."), NAMES)
    assert "=center water" not in elsewhere.words


def test_a_range_without_an_end_and_a_group_that_is_not_stated():
    numbers = document_of(a_card(ages=AgeRange(30, None), group=None), Names()).numbers
    assert (numbers["ages_low"], numbers["ages_high"]) == (30, NO_END)
    assert numbers["group_low"] > numbers["group_high"]


def test_what_a_hit_shows_is_plain_json():
    shown = json.loads(document_of(a_card(body="Wet sponges."), Names()).shown)
    assert (shown["id"], shown["ages"], shown["summary"]) == (
        "sponge-rain",
        "24-48",
        "Wet sponges.",
    )


def test_the_same_card_gives_the_same_document():
    card = a_card(body="Many different words stand here in no order at all.")
    assert document_of(card, NAMES) == document_of(card, NAMES)
    assert document_of(card, NAMES).forms == tuple(sorted(document_of(card, NAMES).forms))
