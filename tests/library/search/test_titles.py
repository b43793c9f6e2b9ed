"""A card is found by its name, whatever words that is made of."""

from library.search.conditions import NOTHING_SAID
from library.search.lexicon import vocabulary_of
from library.search.question import read_question
from library.search.readers.text import Text, split_text
from library.search.titles import AnyOf, first_words, title_key, title_list
from tests.builders import a_card
from tests.library.search.libraries import Shelf

NAMES = title_list(["No-cook soup", "Soup", "Soup for ten bears", "Outdoors, no mess"])


def end_of(asked: str, start: int = 0) -> int | None:
    return NAMES.end_of(Text(asked, split_text(asked)), start)


def test_the_longest_title_that_begins_at_a_place_is_found():
    assert end_of("soup for ten bears please") == 4
    assert end_of("soup for ten") == 1
    assert end_of("no-cook soups") == 3
    assert end_of("make soup", 1) == 2
    assert end_of("make soup") is None


def test_titles_are_looked_for_among_those_of_the_same_first_word():
    keys = ["leaf", "leaf & twig", "leaf rub", "leafy path", "mud"]
    assert first_words(keys) == {"leaf": (0, 3), "leafy": (3, 4), "mud": (4, 5)}
    assert first_words([]) == {}


def test_stops_and_plurals_make_no_other_title():
    assert title_key("Outdoors, no mess") == title_key("outdoor: no messes")
    assert end_of("outdoors no mess today") == 3


def test_words_of_titles_are_known_as_written_and_in_the_singular():
    assert all(map(NAMES.has, ("bears", "bear", "soup")))
    assert not NAMES.has("bean")
    assert AnyOf((NAMES,)).has("bears")
    assert not AnyOf().has("bears")


def test_a_title_counts_as_long_as_a_card_is_called_so(tmp_path):
    shelf = Shelf(tmp_path, a_card("quick", title="Quick water play"), a_card("other"))
    assert read(shelf, "quick water play") == NOTHING_SAID
    shelf.write(a_card("quick", title="Slow water play"))
    shelf.index.refresh()
    assert read(shelf, "quick water play") != NOTHING_SAID
    assert read(shelf, "slow water play") == NOTHING_SAID


def test_techniques_are_called_as_the_first_card_that_is_there_calls_them(tmp_path):
    first = a_card("a", technique="Sponge Squeezing")
    shelf = Shelf(tmp_path, first, a_card("b", technique="sponge squeezing"))
    assert vocabulary_of(shelf.index.view, {}).techniques == ("Sponge Squeezing",)
    shelf.path(first).unlink()
    shelf.index.refresh()
    assert vocabulary_of(shelf.index.view, {}).techniques == ("sponge squeezing",)


def read(shelf, asked):
    return read_question(asked, vocabulary_of(shelf.index.view, {})).conditions


def test_names_are_worked_out_once_while_only_cards_change(tmp_path):
    shelf = Shelf(tmp_path, a_card("a", technique="pouring water"))
    before = vocabulary_of(shelf.index.view, {})
    read_question("with sponges, pouring water, at the water center", before)
    shelf.write(a_card("b", title="Rain on tin", technique="tapping rain"))
    shelf.index.refresh()
    after = vocabulary_of(shelf.index.view, {}, known=before)
    assert after.material_phrases is before.material_phrases
    assert after.technique_phrases is not before.technique_phrases
    assert after.materials == vocabulary_of(shelf.index.view, {}).materials
    assert after.titles.has("tin")
    assert after.has("tapping")


def test_another_list_of_materials_is_worked_out_anew(tmp_path):
    shelf = Shelf(tmp_path, a_card("a"))
    before = vocabulary_of(shelf.index.view, {})
    assert not read_question("with a hammock", before).conditions.with_
    list_of_materials = shelf.paths.activities / "materials.yaml"
    list_of_materials.write_text(list_of_materials.read_text() + "- {item: hammock}\n")
    shelf.index.refresh()
    after = vocabulary_of(shelf.index.view, {}, known=before)
    assert read_question("with a hammock", after).conditions.with_ == (("hammock",),)
