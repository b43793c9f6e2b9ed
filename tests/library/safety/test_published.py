"""Check values of the published rules that stand in no other module here, the source beside each."""

from __future__ import annotations

import pytest

from library.cards.values import Adult
from library.safety.checks import card_findings
from library.safety.hazards import hazards
from library.safety.judging import material_findings
from library.safety.listed import check_cords, check_hazards, check_water
from library.safety.pieces import check_small_parts
from library.units.findings import Level
from tests.builders import a_book, a_card, a_material_line
from tests.library.safety.builders import a_case, a_material, a_piece, text_case


@pytest.mark.parametrize(("months", "level"), [(35, Level.STOP), (36, Level.NOTE)])
def test_under_three_is_under_36_months_exactly(months, level):
    """16 CFR 1501.2(a)."""
    (found,) = check_small_parts(a_case(a_piece("sphere 20"), youngest=months))
    assert found.level is level


@pytest.mark.parametrize(
    "name",
    [
        "crayon stub",
        "piece of chalk",
        "short pencil",
        "clay pellet",
        "doll shoe",
        "hair clip",
        "rattle bead",
        "paint tablet",
        "paper wad",
        "record adapter",
    ],
)
def test_what_the_regulation_exempts_is_looked_at_all_the_same(name):
    """16 CFR 1501.3 leaves ten kinds of thing out of the regulation; that makes none of them larger."""
    (found,) = check_small_parts(a_case(a_piece("cylinder 10 x 30 mm", name)))
    assert found.level is Level.STOP


def test_an_exempt_balloon_is_a_stop():
    """16 CFR 1501.3 exempts balloons, CFOC 6.4.1.2 keeps them away."""
    assert [f.level for f in check_hazards(text_case("Blow up a balloon."))] == [Level.STOP]


@pytest.mark.parametrize(
    ("material", "months", "level"),
    [
        (a_piece("disc 20 x 5 mm"), 71, Level.NOTE),
        (a_piece("ball 40 mm"), 36, Level.NOTE),
        (a_piece("ball 40 mm", hazards=("marble",)), 36, Level.CAUTION),
        (a_piece("box 90 x 90 x 90 mm", hazards=("balloon",)), 95, Level.CAUTION),
    ],
)
def test_from_three_on_labels_still_warn(material, months, level):
    """16 CFR 1500.19, from a summary of the Child Safety Protection Act: small parts, balls and marbles
    are labelled from three, balloons for all under eight."""
    assert level in [finding.level for finding in material_findings(material, months)]
    assert Level.STOP not in [finding.level for finding in material_findings(material, months)]


@pytest.mark.parametrize(
    "material",
    [
        a_piece("disc 25 x 4 mm"),
        a_piece("sphere 40 mm"),
        a_piece("ball 42 mm"),
    ],
    ids=["parts narrower than 1.25 in", "round parts narrower than 1.75 in", "balls"],
)
def test_the_entries_of_the_list_that_go_by_size_give_one_finding(material):
    """CFOC 6.4.1.2; the other twelve of its fifteen go by what the thing is."""
    assert len(material_findings(material, 30)) == 1


def test_a_cord_at_the_federal_figure_and_just_under_it():
    """ASTM F963 (older edition, from a summary): free length less than 12 in for under 18 months. The
    tool takes 300 mm, so 11.9 in (302 mm) is found as well (FIND12)."""
    for cord, count in (("12.0 in", 1), ("11.9 in", 1), ("11.8 in", 0)):
        assert len(list(check_cords(a_case(a_material("pull toy", cord=cord))))) == count


@pytest.mark.parametrize(("months", "level"), [(24, Level.STOP), (40, Level.CAUTION)])
def test_a_magnet_of_unknown_strength_counts_as_a_strong_one(months, level):
    """16 CFR 1262: hazardous from 50 kG²mm² if it fits the cylinder; the tool knows no strengths."""
    (found,) = check_hazards(a_case(a_material(hazards=("magnet",)), youngest=months))
    assert found.level is level
    assert "strength is not known" in found.why


@pytest.mark.parametrize("months", [24, 60, 120])
def test_a_button_cell_asks_for_the_screw_at_any_age(months):
    """16 CFR 1263 (Reese's Law): a compartment that needs a tool."""
    (found,) = check_hazards(text_case("Set out flameless tea lights.", youngest=months))
    assert "needs a tool" in found.why
    assert "screw" in found.fix


def test_a_screen_under_three_says_that_the_wording_is_read_differently():
    """CFOC 2.2.0.3: none at two and younger."""
    (found,) = check_hazards(text_case("Watch a video.", youngest=30))
    assert found.level is Level.CAUTION
    assert "read differently" in found.why


def test_a_rice_table_goes_by_the_youngest():
    """CFOC 6.2.4.3: out for toddlers, with an adult from three; a caution here, since many rooms differ
    and the licence decides (FIND1)."""
    rice = a_material("white rice", hazards=("loose-fill",))
    levels = {
        months: [
            f.level for f in check_hazards(a_case(rice, youngest=months, centers=("sensory",)))
        ]
        for months in (17, 24, 35, 36)
    }
    assert levels == {
        17: [Level.STOP],
        24: [Level.CAUTION],
        35: [Level.CAUTION],
        36: [Level.NOTE],
    }
    assert "supervised" in hazards()["loose-fill"].senses[0].text


@pytest.mark.parametrize(("adult", "count"), [(Adult.WITHIN_REACH, 0), (Adult.WITHIN_SIGHT, 1)])
def test_an_adult_out_of_reach_of_water_is_named(adult, count):
    """CFOC 6.2.4.2: supervised closely, since 1 to 2 in are enough to drown in."""
    case = a_case(a_material("water tub"), centers=("water",), adult=adult)
    (found,) = check_water(case)
    assert ("an adult is within reach" in found.text) == bool(count)


def test_flour_pasta_and_an_unknown_brand_for_one_child():
    """CDC (2013) and the chart of an allergy charity: flour holds wheat, pasta wheat and egg; what no
    one has described is to be read by its label."""
    from dataclasses import replace

    from library.safety.allergens import check_allergens
    from library.safety.case import case_of_card
    from tests.builders import a_child

    book = a_book(
        a_material("flour", allergens=("wheat",)),
        a_material("dry pasta", allergens=("wheat", "egg")),
    )
    lines = tuple(map(a_material_line, ("flour", "dry pasta", "bargain putty")))
    case = case_of_card(a_card(centers=("table",), materials=lines), book)
    case = replace(case, children=(a_child("wren", allergens=("wheat", "egg")),))
    flour, pasta = check_allergens(case)
    assert "wren: wheat)" in flour.text
    assert "rice flour" in flour.fix
    assert "wren: wheat, egg)" in pasta.text
    (unknown,) = check_small_parts(case)
    assert "ask what it is made of and what it held before" in unknown.fix


def test_every_source_is_named_and_memory_is_shown_as_memory():
    """Sources seen are confirmed; those from memory say so on every page."""
    for entry in hazards().values():
        assert entry.confirmed or "no source" in entry.source or "memory" in entry.source
    card = a_card(centers=("table",), body="Use the hot glue gun together.")
    (found,) = card_findings(card, a_book())
    assert not found.confirmed


def test_water_in_bottles_on_another_table_asks_for_no_arm_s_reach():
    """CFOC 6.2.4.2 is about water tables and basins."""
    from library.cards.values import MaterialLine

    lines = (MaterialLine("water", "6 l per setup"),)
    card = a_card(centers=("light",), materials=lines, adult=Adult.WITHIN_SIGHT)
    (found,) = card_findings(card, a_book(a_material("water")))
    assert "6 l" in found.text
    assert "within reach" not in found.text
