"""Misspelt, plural, foreign, missing and absurd: none passes in silence."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.materials.material import Kind, MaterialBook
from library.safety.case import case_of_card
from library.safety.checks import card_findings
from library.units.findings import Level
from tests.builders import a_book, a_card, a_material_line
from tests.library.safety.builders import a_material, a_piece


def found_in(material=None, name=None, **card):
    """What the checks find in a card with one thing."""
    lines = (a_material_line(name or material.item),)
    made = a_card(**{"centers": ("table",), "materials": lines, **card})
    return card_findings(made, a_book(material) if material else MaterialBook())


@pytest.mark.parametrize(
    "shape",
    [
        None, "", " ", "small", "?", "-", "n/a", "30", "30 mm", "30mm x 20mm x 10mm", "round 30 mm",
        "sphere", "sphere mm", "sphere 30 mn", "sphere 30mmm", "sphere 3 cm.5", "sphere thirty",
        "sphere -30 mm", "sphere 0", "sphere 0/4 in", "sphere 1/0 in", "sphere 1e9", "sphere inf",
        "sphere nan", "sphere 99999999999999999999 mm", "sphere 2 m", "sphere 1 ft", "sphere 2'",
        "sphere 1.5 sun", "sphere 2 tommer", "sphere 3 Zoll", "sphere 1,25 in", "sphere 1.234,5 mm",
        "sphere ٣٠ mm", "sphere ３０ mm", "sphere 30 mm 40 mm", "sphere 30-40 mm", "sphere ~30 mm",
        "sphere <30 mm", "box 30 x 20 mm", "box 30 20 10 mm", "box 3 cm x 20 x 10",
        "cylinder 30 mm", "disc 30", "ellipsoid 30 x 20", "about 30 mm", "spher 30 mm", "cube 30 mm",
        "box 30 x 20 x 0 mm", "box 30 x x 10 mm", "box 30 x 20 x 10 x 5 mm",
    ],
)  # fmt: skip
def test_a_size_that_cannot_be_read_is_to_be_measured(shape):
    """PART3, PART7."""
    (found,) = found_in(a_piece(shape))
    assert (found.kind, found.level) == ("small-part", Level.CAUTION)
    assert "measure it" in found.text


@pytest.mark.parametrize(
    "shape",
    [
        "sphere 1 in", "sphere 1in", 'sphere 1"', "sphere 1”", "sphere 1''", "SPHERE 1 IN",
        "sphere 1 1/4 in", "sphere 1¼ in", "sphere 1-1/4 inches", "sphere 3/4 inch", "sphere 2.5 cm",
        "sphere 2.5 centimetres", "sphere 25", "sphere 25 MM", "sphere .5 in", "sphere 0.001 mm",
        "disc 24.26 × 1.75", "disk 24.26 by 1.75 mm", "cylinder 1/2\" x 1 1/2 in", "box 2X2X50",
        "about 1 x 3/4 x 1/2 in", "ball 1 1/8 in", "ellipsoid 1 × 0.5 × 0.5 in",
    ],
)  # fmt: skip
def test_a_small_size_is_a_stop_however_it_is_written(shape):
    """PART7."""
    assert Level.STOP in {finding.level for finding in found_in(a_piece(shape))}


@pytest.mark.parametrize(
    "name", ["pom poms", "Perlen", "カード", "x", "wooden  RING", "glass-like thing", "ring?", "🎈"]
)
def test_a_name_nobody_has_listed_is_to_be_measured(name):
    assert "measure it" in " ".join(finding.text for finding in found_in(name=name))


def test_a_name_in_another_case_number_and_spacing_is_the_same_thing():
    ring = a_piece("disc 25 x 4 mm")
    for name in ("Wooden Rings", "wooden   ring", "WOODEN RING"):
        assert [f.item for f in found_in(ring, name)] == ["wooden ring"]


@pytest.mark.parametrize(
    ("text", "hazard"),
    [
        ("WATER MARBLES!", "water-beads"),
        ("water-\nbeads", "water-beads"),
        ("Styrofoams", "foam-plastic"),
        ("**glitter**", "glitter"),
        ("_magnets_ and more", "magnet"),
        ("(balloons)", "balloon"),
        ("the balloons’ strings", "balloon"),
        ("coins/buttons", "coin"),
        ("[glitter](glitter.jpg)", "glitter"),
        ("- thumbtacks", "tack"),
        ("| marbles | 6 |", "marble"),
        ("“Balloons” it says", "balloon"),
        ("plastic bags", "plastic-bag"),
    ],
)
def test_words_are_found_through_marks_and_cases(text, hazard):
    assert hazard in {finding.hazard for finding in found_in(a_material(), body=text)}


@pytest.mark.parametrize(
    "cord", ["", "long", "1 m", "two feet", "30,5 cm", "0 mm", "-1", "300", "12 in"]
)
def test_a_cord_that_is_long_or_not_told_is_a_caution(cord):
    """FIND12."""
    assert "cord" in {finding.kind for finding in found_in(a_material(cord=cord))}


@pytest.mark.parametrize(
    "amount", ["some", "a lot", "1 tub per setup", "1000 ml per setup", "1,5 l per setup"]
)
def test_water_of_no_told_amount_counts(amount):
    """FIND12."""
    card = a_card(centers=("table",), materials=(a_material_line("water", amount),))
    book = a_book(a_material("water", kind=Kind.CONSUMABLE))
    assert [finding.kind for finding in card_findings(card, book)] == ["water"]


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_no_shape_passes_in_silence_unless_it_reads_as_large(text):
    """Whatever stands in 'shape': a finding, or a size that was read and does not fit."""
    from library.materials.shapes import parse_shape
    from library.safety.small_parts import is_small_part
    from library.store.problems import Unreadable

    if found_in(a_piece(text)):
        return
    try:
        assert not is_small_part(parse_shape(text))
    except Unreadable:
        pytest.fail(f"{text!r} could not be read and gave no finding")


@given(st.text(max_size=200))
@settings(max_examples=150, deadline=None)
def test_no_text_breaks_the_reading(text):
    card = a_card(title=text, body=text, materials=(a_material_line(text or "x", text),))
    case_of_card(card, MaterialBook())
    assert card_findings(card, MaterialBook())
