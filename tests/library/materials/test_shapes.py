"""Sizes as people write them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.materials.shapes import (
    About,
    Ball,
    Box,
    Cylinder,
    Disc,
    Ellipsoid,
    Sphere,
    describe,
    parse_length,
    parse_shape,
    sizes,
)
from library.store.problems import Unreadable


@pytest.mark.parametrize(
    ("text", "shape"),
    [
        ("sphere 31", Sphere(31)),
        ("ball 66 mm", Ball(66)),
        ("Ball 1.75 in", Ball(44.45)),
        ("cylinder 3/4 in x 2 in", Cylinder(19.05, 50.8)),
        ('cylinder 1/2" x 2"', Cylinder(12.7, 50.8)),
        ("cylinder 1/2” × 2”", Cylinder(12.7, 50.8)),
        ('sphere 1 1/2"', Sphere(38.1)),
        ('sphere 1-1/2"', Sphere(38.1)),
        ("sphere 1½ in.", Sphere(38.1)),
        ("sphere ¾ inch", Sphere(19.05)),
        ("disc 3 x .5 inches", Disc(76.2, 12.7)),
        ("disk 86 by 15 mm", Disc(86, 15)),
        ("box 11x7x4.5 cm", Box(110, 70, 45)),
        ("box 11cm x 7cm x 45mm", Box(110, 70, 45)),
        ("box 1 in x 20 x 30 mm", Box(25.4, 20, 30)),
        ("ellipsoid 60 X 50 X 50 millimetres", Ellipsoid(60, 50, 50)),
        ("about  4 × 3 ✕ 2 in", About(101.6, 76.2, 50.8)),
    ],
)
def test_sizes_read_as_people_write_them(text, shape):
    """PART7: mm, cm, in and fractions; a bare number is mm."""
    assert parse_shape(text) == shape


@pytest.mark.parametrize(
    "text",
    [
        "", "big", "30 mm", "30 x 20 x 10 mm", "ball", "ball big", "ball 0 mm", "ball -3 mm",
        "ball 1/0 in", "ball 30 m", "ball 2 ft", "ball 2'", "ball 1e3 mm", "ball nan", "ball ٣٠ mm",
        "ball 99999 cm", "ball 30 x 20 mm", "box 3 x 2 cm", "box 3 x 2 x 1 x 1 cm",
        "box 3 cm x 2 x 1", "cylinder 3-4 x 9 mm", "ball 30 mm or so", "sphere 3 sun", "bal 40 mm",
        "box 10x x 20 x 30", "sphere 30mmm",
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_the_form_expected(text):
    """PART7: a shape that cannot be read is never nothing."""
    with pytest.raises(Unreadable, match="expected"):
        parse_shape(text)


def test_a_decimal_comma_is_refused_and_says_so():
    with pytest.raises(Unreadable, match="decimal point") as caught:
        parse_shape("sphere 31,5 mm")
    assert "comma" in caught.value.fix


def test_sizes_without_a_form_are_offered_as_about():
    with pytest.raises(Unreadable) as caught:
        parse_shape("30 x 20 x 10 mm")
    assert "about 30 x 20 x 10 mm" in caught.value.fix


@given(st.fractions(min_value=0.01, max_value=300), st.fractions(min_value=0.01, max_value=300))
@settings(max_examples=100)
def test_inches_as_fractions_are_exact(width, length):
    """1 in is exactly 25.4 mm (NIST Handbook 44, appendix C)."""
    text = (
        f"cylinder {width.numerator}/{width.denominator} in x "
        f"{length.numerator}/{length.denominator} in"
    )
    assert parse_shape(text) == Cylinder(float(width * 254 / 10), float(length * 254 / 10))


def test_a_length_reads_alike():
    assert parse_length("290 mm") == 290
    assert parse_length('11 1/2"') == pytest.approx(292.1)
    with pytest.raises(Unreadable):
        parse_length("long")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("sphere 31.75", "a round piece 31.75 mm across"),
        ("ball 66", "a ball 66 mm across"),
        ("cylinder 12 x 290", "a cylinder 12 mm across and 290 mm long"),
        ("disc 86 x 15", "a disc 86 mm across and 15 mm thick"),
        ("box 110 x 70 x 45", "a box of 110 × 70 × 45 mm"),
        ("ellipsoid 60 x 50 x 50", "an oval of 60 × 50 × 50 mm"),
        ("about 1 x 2 x 3 in", "a piece of about 25.4 × 50.8 × 76.2 mm"),
    ],
)
def test_a_shape_is_said_in_words(text, words):
    assert describe(parse_shape(text)) == words


def test_every_shape_of_the_shipped_materials_reads():
    folder = Path(__file__).parents[3] / "activities"
    found = re.findall(r"^  shape: (.*?)(?: #.*)?$", (folder / "materials.yaml").read_text(), re.M)
    assert found
    for text in found:
        assert all(size > 0 for size in sizes(parse_shape(text)))
