"""Findings on loose pieces."""

from __future__ import annotations

import datetime as dt

import pytest

from library.materials.material import Kind, MaterialBook
from library.safety.case import case_of_card
from library.safety.pieces import check_balls, check_round_pieces, check_small_parts
from library.units.findings import Level
from tests.builders import a_card, a_material_line
from tests.library.safety.builders import (
    FOUR,
    THREE_IN_OCTOBER,
    a_case,
    a_material,
    a_piece,
    a_room_case,
)


def kinds(findings):
    """Level and kind of each finding."""
    return [(finding.level.value, finding.kind) for finding in findings]


def test_a_piece_that_fits_is_a_stop_with_its_margin_and_source():
    (found,) = check_small_parts(a_case(a_piece("disc 25 x 4 mm", "metal token")))
    assert (found.level, found.kind, found.item) == (Level.STOP, "small-part", "metal token")
    assert "could be 6.75 mm smaller" in found.text
    assert found.source == "16 CFR 1501.2 and 1501.4; CFOC 6.4.1.2"
    assert "larger" in found.fix


@pytest.mark.parametrize(
    ("shape", "count"),
    [("sphere 32.75", 1), ("sphere 32.8", 0), ("box 1 x 1 x 1 in", 0), ("cylinder 30 x 80", 0)],
)
def test_the_edge_of_the_rule(shape, count):
    """PART1, PART9: within 1 mm of passing is flagged; a 1 in cube does not enter."""
    assert len(list(check_small_parts(a_case(a_piece(shape))))) == count


def test_one_finding_for_a_material_that_a_card_names_twice():
    """PART6: one per placement and item."""
    ring = a_piece("disc 25 x 4 mm", also=("curtain ring",))
    lines = (a_material_line("wooden ring"), a_material_line("curtain ring"))
    case = case_of_card(a_card(materials=lines), MaterialBook((ring,)))
    assert kinds(check_small_parts(case)) == [("stop", "small-part")]


@pytest.mark.parametrize("kind", list(Kind))
def test_the_kind_of_a_material_does_not_matter(kind):
    """PART6."""
    case = a_case(a_piece("disc 25 x 4 mm", kind=kind))
    assert kinds(check_small_parts(case)) == [("stop", "small-part")]


@pytest.mark.parametrize(
    ("material", "says"),
    [
        (a_piece(None), "it has no size"),
        (a_piece("as big as a fist"), "cannot be read"),
        (a_piece("sphere 31,5 mm"), "decimal point"),
        (a_piece("sphere 0 mm"), "cannot be read"),
        (a_material(loose=None), "nobody has stated"),
        (a_material(loose=None, shape="disc 25 x 4 mm"), "nobody has stated"),
        (a_material(kind=Kind.PRINTABLE, loose=None), "nobody has stated"),
        (a_material("pom-pom", kind=Kind.CONSUMABLE, loose=None), "nobody has stated"),
    ],
)
def test_what_is_not_known_is_to_be_measured(material, says):
    """PART3, PART7: never silence."""
    (found,) = check_small_parts(a_case(material))
    assert (found.level, found.kind) == (Level.CAUTION, "small-part")
    assert "measure it" in found.text
    assert says in found.text + str(found.fix)


def test_an_unknown_material_is_to_be_measured():
    """PART3: an item that materials.yaml does not have."""
    case = case_of_card(a_card(materials=(a_material_line("brass bell"),)), MaterialBook())
    (found,) = check_small_parts(case)
    assert (found.level, found.item) == (Level.CAUTION, "brass bell")
    assert "nobody has described it yet" in found.text


@pytest.mark.parametrize(
    "material",
    [
        a_material(loose=False),
        a_material(loose=False, shape="sphere 5 mm"),
        a_material("warm water", kind=Kind.CONSUMABLE, loose=None),
        a_material("corn flour", kind=Kind.CONSUMABLE, loose=None),
        a_material("brown paper", kind=Kind.CONSUMABLE, loose=None),
        a_material("picture book", kind=Kind.BOOK, loose=None),
    ],
)
def test_what_cannot_be_picked_up_gives_no_finding(material):
    """PART3: stated not loose, or a liquid, powder or sheet; books are left out of 16 CFR 1501."""
    assert not list(check_small_parts(a_case(material)))


def test_nobody_under_36_months_makes_a_note_with_the_margin():
    """PART4."""
    (found,) = check_small_parts(a_case(a_piece("disc 25 x 4 mm"), youngest=36))
    assert found.level is Level.NOTE
    assert "mm smaller in each measure" in found.text


def test_under_three_holds_through_the_birthday_month():
    """AGE1: 16 CFR 1501.2(a) says under 36 months; a month only is known, so one less counts."""
    piece = a_piece("disc 25 x 4 mm")
    in_month = a_room_case(piece, born=THREE_IN_OCTOBER, on=dt.date(2026, 10, 30))
    month_after = a_room_case(piece, born=THREE_IN_OCTOBER, on=dt.date(2026, 11, 2))
    assert kinds(check_small_parts(in_month)) == [("stop", "small-part")]
    assert kinds(check_small_parts(month_after)) == [("note", "small-part")]


def test_the_card_s_own_ages_count_for_nothing_in_a_room():
    """AGE2: the youngest attending child decides."""
    assert a_room_case(a_piece("sphere 20"), born=FOUR).youngest >= 36
    assert a_room_case(a_piece("sphere 20"), born=(2024, 10)).youngest == 23


def test_a_small_ball_is_a_ball_and_one_that_fits_the_cylinder_both():
    """PART2, PART5: up to 45.45 mm."""
    assert not list(check_small_parts(a_case(a_piece("ball 40 mm"))))
    (found,) = check_balls(a_case(a_piece("ball 40 mm", "table-tennis ball")))
    assert (found.level, found.kind, found.item) == (Level.STOP, "ball", "table-tennis ball")
    assert "1500.18(a)(17)" in found.source
    assert "passes the small-ball hole" in found.text
    assert "measuring cannot tell" in next(check_balls(a_case(a_piece("ball 45 mm")))).text
    both = a_case(a_piece("ball 30 mm"))
    assert [*check_small_parts(both)] != [] != [*check_balls(both)]
    assert kinds(check_balls(a_case(a_piece("ball 45.45 mm")))) == [("stop", "ball")]
    assert not list(check_balls(a_case(a_piece("ball 45.5 mm"))))
    assert kinds(check_balls(a_case(a_piece("ball 40 mm"), youngest=36))) == [("note", "ball")]


def test_a_round_piece_that_is_no_ball_falls_under_guidance_only():
    """PART8: CFOC 6.4.1.2, kind hazard, so that small-part always means the cylinder."""
    case = a_case(a_piece("sphere 40 mm"))
    assert not [*check_balls(case), *check_small_parts(case)]
    assert kinds(check_round_pieces(case)) == [("caution", "hazard")]
    assert not list(check_round_pieces(a_case(a_piece("sphere 40 mm"), youngest=36)))
    assert not list(check_round_pieces(a_case(a_piece("sphere 20 mm"))))
    assert not list(check_round_pieces(a_case(a_piece("sphere 50 mm"))))


def test_a_soft_piece_is_never_said_not_to_fit():
    """A foam ball that is too wide as it is has to be squeezed by a person."""
    (found,) = check_small_parts(a_case(a_piece("sphere 50 mm", soft=True)))
    assert found.level is Level.CAUTION
    assert "squeezed" in found.text
    assert "not fit" not in found.text
    assert kinds(check_small_parts(a_case(a_piece("sphere 30 mm", soft=True)))) == [
        ("stop", "small-part")
    ]


def test_large_cloth_and_sponges_are_left_to_the_person():
    for shape in ("box 110 x 70 x 45 mm", "box 600 x 600 x 1 mm"):
        assert not list(check_small_parts(a_case(a_piece(shape, soft=True))))


def test_an_unknown_material_with_an_allergic_child_asks_for_its_label():
    """16 CFR says nothing of labels; unknown brands are to be read (allergy press)."""
    from dataclasses import replace

    from tests.builders import a_child

    case = case_of_card(a_card(materials=(a_material_line("oat putty"),)), MaterialBook())
    there = replace(case, children=(a_child(allergens=("wheat",)),))
    (found,) = check_small_parts(there)
    assert "ask what it is made of and what it held before" in found.fix
