"""Findings from the published list, and on food, water and cords."""

from __future__ import annotations

import pytest

from library.cards.values import Group, MaterialLine, Step, When
from library.materials.material import Kind
from library.safety.case import Case, case_of_card
from library.safety.hazards import hazards, in_text
from library.safety.listed import check_cords, check_food, check_hazards, check_water
from library.safety.pieces import check_small_parts
from library.units.findings import Level
from tests.builders import a_book, a_card
from tests.library.safety.builders import a_case, a_material, a_piece, text_case

CFOC_FIFTEEN = {
    "plastic-bag", "foam-plastic", "coin", "balloon", "safety-pin", "marble", "magnet",
    "foam-block", "latex-glove", "tack", "glitter", "sharp",
}  # fmt: skip
"""CFOC 6.4.1.2 keeps 15 things from under-threes; three of them are small parts by size."""


@pytest.mark.parametrize("key", sorted(CFOC_FIFTEEN))
def test_each_thing_of_the_published_list_gives_one_finding_under_three(key):
    """CFOC 6.4.1.2: exactly one finding for each, with a source and something to use instead."""
    (found,) = check_hazards(a_case(a_material("thing", hazards=(key,))))
    assert found.kind == "hazard"
    assert found.hazard == key
    assert found.level in (Level.STOP, Level.CAUTION)
    assert found.source
    assert found.fix
    assert found.why


@pytest.mark.parametrize(
    ("key", "months", "level"),
    [
        ("neckwear", 35, "stop"),  # CFOC 3.4.6.1: not under 3
        ("neckwear", 36, "caution"),  # and supervised from 3
        ("water-beads", 24, "stop"),
        ("water-beads", 60, "stop"),
        ("loose-fill", 17, "stop"),  # CFOC 6.2.4.3: no sensory table under 18 months
        ("loose-fill", 30, "caution"),  # toddlers: only water, sand, fixed plastic things
        ("loose-fill", 36, "note"),  # supervised
        ("screen", 23, "stop"),  # CFOC 2.2.0.3
        ("screen", 30, "caution"),
        ("toxic-plant", 40, "stop"),
        ("balloon", 35, "stop"),
        ("balloon", 95, "caution"),  # label warns for under 8
        ("button-cell", 71, "stop"),  # 16 CFR 1263: six and under
        ("solvent", 40, "stop"),
        ("aerosol", 40, "stop"),
    ],
)
def test_levels_go_by_the_youngest_child(key, months, level):
    """FIND1: each entry says its level."""
    (found,) = check_hazards(a_case(a_material("thing", hazards=(key,)), youngest=months))
    assert found.level.value == level


def test_a_band_that_has_ended_gives_nothing():
    assert not list(check_hazards(a_case(a_material(hazards=("foam-block",)), youngest=36)))
    assert not list(check_hazards(a_case(a_material(hazards=("balloon",)), youngest=96)))


def test_sensory_filler_says_what_the_standard_wants_and_that_rooms_differ():
    """CFOC 6.2.4.3."""
    rice = a_material("white rice", kind=Kind.CONSUMABLE, hazards=("loose-fill",))
    (found,) = check_hazards(a_case(rice, youngest=24))
    assert found.source == "CFOC 6.2.4.3"
    assert "Many rooms do differ" in found.why
    assert "licensing rules decide" in found.why


@pytest.mark.parametrize(("months", "count"), [(17, 1), (18, 0)])
def test_no_sensory_table_under_18_months(months, count):
    """CFOC 6.2.4.3: at 17 months none at all, whatever is in it."""
    found = list(check_hazards(a_case(a_material("sand"), youngest=months, centers=("sensory",))))
    assert [f.level for f in found] == [Level.STOP] * count


def test_water_beads_do_not_quote_the_proposal_as_law():
    """16 CFR 1250.4 as made final in December 2025, not the proposal of September 2024."""
    (found,) = check_hazards(a_case(a_material(hazards=("water-beads",))))
    assert "50" not in found.why
    assert "9" not in found.why.replace("2026", "")


def test_a_key_and_the_words_of_the_name_are_one_finding():
    """One finding a placement and item."""
    glitter = a_material("glitter", hazards=("glitter",))
    found = list(check_hazards(a_case(glitter, body="Shake glitter on the glue.")))
    assert [(f.hazard, f.item) for f in found] == [("glitter", "glitter")]


def test_a_name_speaks_even_where_no_key_was_given():
    (found,) = check_hazards(a_case(a_material("styrofoam tray")))
    assert (found.hazard, found.item) == ("foam-plastic", "styrofoam tray")


def test_a_word_in_the_text_alone_is_found_without_a_material():
    (found,) = check_hazards(text_case("Hide three coins in the sand."))
    assert (found.hazard, found.item) == ("coin", None)
    assert "'coin'" in found.text


def test_of_two_senses_of_one_hazard_the_stricter_speaks():
    """Scissors are a caution, skewers a stop; both are sharp."""
    (found,) = check_hazards(text_case("Scissors and skewers lie ready."))
    assert (found.level, found.hazard) == (Level.STOP, "sharp")
    assert "skewer" in found.text


def test_a_word_in_a_step_counts():
    steps = (Step("Spray paint the boxes", 5),)
    assert [f.hazard for f in check_hazards(a_case(steps=steps))] == ["aerosol"]


@pytest.mark.parametrize(
    "do",
    ["Cut the tubes with scissors", "Cook the dough and pour boiling water", "Mix powder paint"],
)
def test_an_adult_s_own_tools_before_the_children_come_are_none(do):
    assert not list(check_hazards(a_case(steps=(Step(do, 5),))))


def test_packing_away_is_not_read_for_what_only_children_s_hands_meet():
    body = "Roll it.\n\n## Pack away\nKeep the dough in a zip bag."
    assert not list(check_hazards(text_case(body)))
    assert list(check_hazards(text_case("Squish the zip bag.\n\n## Pack away\nWipe it.")))


def test_what_is_added_to_a_standing_center_is_read():
    case = Case(None, "blocks", None, 24, mentions=in_text("acorns among the blocks"))
    (found,) = check_hazards(case)
    assert (found.hazard, found.activity) == ("toxic-plant", None)


def test_acorns_are_a_plant_and_a_small_part():
    """Colorado's list of poisonous plants names acorns; their size is judged besides."""
    case = a_case(a_piece("about 20 x 15 x 15 mm", "acorn"))
    found = [*check_small_parts(case), *check_hazards(case)]
    assert {(f.kind, f.hazard) for f in found} == {("small-part", None), ("hazard", "toxic-plant")}


def test_a_poinsettia_is_a_note():
    """Lists call it irritant, not poisonous."""
    (found,) = check_hazards(a_case(a_material("poinsettia")))
    assert found.level is Level.NOTE


@pytest.mark.parametrize(
    "text", ["Set up an incubator for hatching chicks.", "A tadpole tank stands low."]
)
def test_animals_that_do_not_come_to_a_center(text):
    """CFOC 3.4.2.2: chickens and ducks, amphibians."""
    assert [f.hazard for f in check_hazards(text_case(text))] == ["animal"]


def test_memory_is_shown_as_memory():
    (found,) = check_hazards(a_case(a_material(hazards=("heat",))))
    assert not found.confirmed
    (found,) = check_hazards(a_case(a_material(hazards=("coin",))))
    assert found.confirmed


def test_food_by_key_and_choking_food_under_four():
    """FIND12; CFOC 4.5.0.10: none of the choking foods under four years."""
    (found,) = check_food(a_case(a_material("ripe banana", hazards=("food",))))
    assert (found.level, found.kind, found.item) == (Level.CAUTION, "food", "ripe banana")
    both = a_material("whole grapes", hazards=("food", "choking-food"))
    (found,) = check_food(a_case(both, youngest=40))
    assert found.hazard == "choking-food"
    assert "12 mm" in found.fix
    assert not list(check_hazards(a_case(both)))


def test_a_text_that_serves_popcorn_is_food_and_one_that_pops_like_it_is_none():
    assert [f.kind for f in check_food(text_case("Hand out popcorn."))] == ["food"]
    assert not list(check_food(text_case("Jump up like popcorn.")))


@pytest.mark.parametrize(
    ("cord", "says"),
    [
        ("300 mm", "300 mm"),
        ("12 in", "304.8 mm"),
        ('1 1/2"', None),
        ("299 mm", None),
        ("", "measure it"),
        ("long", "measure it"),
        ("6 ft", "measure it"),
    ],
)
def test_cords(cord, says):
    """FIND12: from 300 mm; ASTM F963's 305 mm (12.0 in) is for under 18 months."""
    found = list(check_cords(a_case(a_material("pull toy", cord=cord))))
    assert [says in f.text for f in found] == ([True] if says else [])
    assert all((f.level, f.kind) == (Level.CAUTION, "cord") for f in found)
    assert all("no number" in f.why and "18 months" in f.why for f in found)


def test_a_name_that_means_a_cord_is_to_be_measured_unless_it_is_stated():
    assert "measure it" in next(check_cords(a_case(a_material("jump rope")))).text
    assert not list(check_cords(a_case(a_material("jump rope", cord="250 mm"))))


def water(amount, **card):
    """A card at the sensory table with an amount of water."""
    fields = {"centers": ("sensory",), "group": Group(1, 4), **card}
    made = a_card(materials=(MaterialLine("water", amount),), **fields)
    return case_of_card(made, a_book(a_material("water", kind=Kind.CONSUMABLE)))


@pytest.mark.parametrize(
    ("amount", "count"),
    [
        ("1 l per setup", 1),
        ("999 ml per setup", 0),
        ("250 ml per place", 1),
        ("1 quart per setup", 0),
        ("1/4 gallon per place", 1),
        ("1 bucket per setup", 1),
        ("1 cup in all", 0),
    ],
)
def test_water_from_one_liter_in_one_set_up(amount, count):
    """FIND12: 1 quart is 0.946 l; a bucket says nothing, so it counts."""
    assert len(list(check_water(water(amount)))) == count


def test_anything_at_the_water_center_counts_once():
    """FIND12."""
    (found,) = check_water(water("5 l per setup", centers=("water",)))
    assert (found.level, found.kind, found.item) == (Level.CAUTION, "water", "water")
    assert "6.2.4.2" in found.source
    standing = Case(None, "water", None, 24)
    assert len(list(check_water(standing))) == 1


def test_filled_water_never_stands_overnight():
    """CFOC 6.3.5.2: containers are emptied at once; 1 to 2 in of water are enough."""
    ahead = water("5 l per setup", centers=("water",), steps=(Step("Fill the tub", 3),))
    assert "no filled water stands overnight" in next(check_water(ahead)).text
    morning = Step("Fill the tub", 3, When.MORNING)
    found = next(check_water(water("5 l per setup", centers=("water",), steps=(morning,))))
    assert "overnight" not in found.text


def test_drinking_vessels_at_the_water_table_are_named():
    """CFOC 6.2.4.2 keeps bottles, cups and glasses from it."""
    cups = a_piece("cylinder 80 x 90 mm", "plastic cup")
    found = next(check_water(a_case(cups, centers=("water",))))
    assert "plastic cup" in found.text


def test_every_entry_has_what_a_finding_needs():
    from library.materials.parsing import HAZARD_KEYS

    assert tuple(hazards()) == HAZARD_KEYS
    for entry in hazards().values():
        assert entry.source
        assert entry.checked
        for sense in entry.senses:
            assert sense.bands
            assert sense.text
            assert sense.instead


@pytest.mark.parametrize("name", ["knotted cord", "bits of yarn", "satin ribbons", "shoelace"])
def test_a_thing_that_is_called_a_cord_and_has_no_length_is_to_be_measured(name):
    """FIND12: a cord with no length; one that states its own is judged by it."""
    (found,) = check_cords(a_case(a_material(name)))
    assert "measure it" in found.text
    assert not list(check_cords(a_case(a_material(name, cord="200 mm"))))


def kinds_of(*names, steps=()):
    """What the food and hazard checks find in a card of these materials."""
    case = a_case(*(a_material(name) for name in names), steps=steps)
    return {each.item: each for check in (check_food, check_hazards) for each in check(case)}


def test_raw_flour_is_a_caution_unless_the_card_cooks_it():
    """CFOC 6.2.4.3: flour can be breathed in; that it carries germs is from memory and says so."""
    (found,) = kinds_of("flour").values()
    assert (found.level, found.confirmed) == (Level.CAUTION, False)
    assert "Raw flour" in found.why
    assert not kinds_of("flour", steps=(Step("Cook the dough until it leaves the pot", 8),))


def test_much_salt_is_a_caution_without_a_source():
    """Common practice, no source; the poison line is that of CFOC 5.2.9.7."""
    (found,) = kinds_of("salt").values()
    assert found.level is Level.CAUTION
    assert "1-800-222-1222" in found.fix
    assert "no source" in found.source


@pytest.mark.parametrize("name", ["river glass", "glass jar", "lidded tin", "tin can"])
def test_glass_and_cut_tin_are_cautions_of_our_own(name):
    (found,) = kinds_of(name).values()
    assert (found.level, found.hazard) == (Level.CAUTION, "sharp")
    assert "own caution, no source" in found.source


@pytest.mark.parametrize("name", ["magnifying glass", "muffin tin", "rice cake", "salt shaker"])
def test_other_things_of_that_name_are_none(name):
    assert not kinds_of(name)


@pytest.mark.parametrize(
    "step", ["Mix the no-cook dough", "Mix it; do not cook or heat it", "Lay out the oven tray"]
)
def test_what_is_not_cooked_stays_raw(step):
    assert kinds_of("flour", steps=(Step(step, 8),))


def test_an_answered_food_hides_no_other_that_the_text_names():
    """CFOC 4.5.0.10 keeps popcorn from children under four."""
    card = a_card(
        body="Raw dough first, then popcorn.", steps=(Step("Cook the dough", 8),), materials=()
    )
    (found,) = check_food(case_of_card(card, a_book()))
    assert "popcorn" in found.text


def test_what_is_published_says_so_and_what_is_our_own_does_not():
    (glitter,) = kinds_of("glitter").values()
    assert "is on the published list under 'glitter'" in glitter.text
    (glass,) = kinds_of("glass jar").values()
    assert "published" not in glass.text


@pytest.mark.parametrize(
    ("filling", "is_found"),
    [("leaves", True), ("washed sand", False), ("snow", False), ("ice block", False)],
)
def test_under_three_a_sensory_table_holds_water_and_sand(filling, is_found):
    """CFOC 6.2.4.3, toddlers to 35 months."""
    found = list(
        check_hazards(a_case(a_material(filling, kind=Kind.CONSUMABLE), centers=("sensory",)))
    )
    assert bool(found) == is_found
    if found:
        assert (found[0].level, found[0].hazard) == (Level.CAUTION, "loose-fill")
    older = a_case(a_material(filling, kind=Kind.CONSUMABLE), youngest=60, centers=("sensory",))
    assert not list(check_hazards(older))
