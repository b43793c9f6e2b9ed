"""A card as JSON-LD keeps to the published vocabulary.

Source: schema.org vocabulary release 30.0, LOWSHELF_REFERENCES/schemaorg.
"""

import json
import os
from pathlib import Path

import isodate
import pytest

from library.cards.linked import card_json_ld
from library.cards.values import AgeRange
from tests.builders import a_book, a_card, a_material, the_card
from tests.schemaorg import faults

BOOK = a_book(a_material("hand sponge"))


@pytest.fixture(scope="module")
def vocabulary():
    folder = os.environ.get("LOWSHELF_REFERENCES")
    if not folder:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    return json.loads(
        (Path(folder) / "schemaorg" / "vocabulary-30.0.json").read_text(encoding="utf-8")
    )


def test_a_card_uses_known_names_in_their_places(vocabulary):
    card = the_card()
    linked = card_json_ld(card, BOOK, "http://127.0.0.1:8765/activities/sponge-rain")
    assert list(faults(linked, vocabulary)) == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"supplies": "x"}, "unknown property"),
        ({"prepTime": "8 minutes"}, "ISO 8601"),
        ({"step": {"@type": "Person"}}, "found Person"),
        ({"requiredQuantity": "1"}, "not a property"),
        ({"@type": ["HowTwo"]}, "unknown type"),
    ],
)
def test_the_walk_finds_what_it_is_there_for(vocabulary, change, words):
    linked = {**card_json_ld(the_card(), BOOK), **change}
    assert any(words in fault for fault in faults(linked, vocabulary))


def test_what_lasts_is_a_tool_and_what_is_used_up_a_supply():
    linked = card_json_ld(the_card(), BOOK)
    assert [tool["name"] for tool in linked["tool"]] == ["hand sponge"]
    assert [supply["name"] for supply in linked["supply"]] == ["water"]


def test_durations_read_back_as_minutes():
    linked = card_json_ld(a_card(prep=95, runs=15), BOOK)
    assert isodate.parse_duration(linked["prepTime"]).total_seconds() == 95 * 60
    assert isodate.parse_duration(linked["totalTime"]).total_seconds() == 110 * 60


def test_ages_are_whole_years_and_may_be_open():
    assert card_json_ld(a_card(ages=AgeRange(30, 42)), BOOK)["typicalAgeRange"] == "2-3"
    assert card_json_ld(a_card(ages=AgeRange(30, None)), BOOK)["typicalAgeRange"] == "2-"
