"""The drawing of an object in the cylinder, and of a ball at the hole."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from library.materials.shapes import About, Ball, Box, Cylinder, Sphere
from library.safety.drawing import draw, draw_at_hole, outline
from library.safety.small_parts import fit

SVG = "{http://www.w3.org/2000/svg}"
SHAPES = [Sphere(25), Box(2, 10, 60), Cylinder(8, 50), About(20, 24, 40), Box(300, 200, 80)]


@pytest.mark.parametrize("shape", SHAPES)
def test_the_drawing_is_an_image_with_a_title_and_a_description(shape):
    root = ElementTree.fromstring(draw(shape, "wooden <bead>", "bead-1"))
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
    assert title.text == "wooden <bead> in the small-parts cylinder"
    assert fit(shape).in_words() in description.text


@pytest.mark.parametrize("shape", SHAPES)
def test_the_drawing_needs_no_style_and_no_script(shape):
    """A page's content security policy may forbid both."""
    for element in ElementTree.fromstring(draw(shape, "bead")).iter():
        assert element.tag.removeprefix(SVG) in {
            "svg", "title", "desc", "g", "path", "polygon", "circle",
        }  # fmt: skip
        assert not [name for name in element.attrib if name == "style" or name.startswith("on")]
    assert "currentColor" in draw(shape, "bead")


@pytest.mark.parametrize("shape", SHAPES)
def test_all_lines_lie_on_the_paper(shape):
    root = ElementTree.fromstring(draw(shape, "bead"))
    left, top, width, height = map(float, root.get("viewBox").split())
    side = root.find(f"{SVG}polygon").get("points")
    for x, y in (map(float, pair.split(",")) for pair in side.split()):
        assert left <= x <= left + width
        assert top <= y <= top + height


def test_what_fits_is_drawn_between_the_walls_and_above_the_floor():
    """16 CFR 1501.4: the floor runs from 25.4 to 57.15 mm below the opening."""
    for shape in SHAPES[:4]:
        assert fit(shape).fits
        for x, depth in outline(shape, fit(shape).pose, (0, 2)):
            assert abs(x) <= 15.876
            assert -0.001 <= depth <= 41.275 + x + 0.001


def test_what_does_not_fit_is_drawn_sticking_out():
    points = outline(SHAPES[4], fit(SHAPES[4]).pose, (0, 2))
    assert min(depth for _, depth in points) < 0


def test_the_outline_has_the_object_s_own_lengths():
    points = outline(Sphere(25), fit(Sphere(25)).pose, (0, 1))
    assert max(x for x, _ in points) - min(x for x, _ in points) == pytest.approx(25, abs=0.01)


def test_a_soft_thing_is_never_said_to_stick_out():
    """What is soft has to be squeezed by a person."""
    assert "sticks out" in draw(SHAPES[4], "box")
    assert "sticks out" not in draw(SHAPES[4], "sponge", soft=True)
    assert "squeeze it in" in draw(SHAPES[4], "sponge", soft=True)
    assert "mm smaller in each measure" in draw(SHAPES[0], "foam ball", soft=True)


def test_numbers_are_short():
    assert not re.search(r"\d\.\d{3}", draw(Box(2, 10, 60), "stick").split("</desc>")[1])


def ball_and_hole(diameter):
    """Heights of a ball's lowest and highest point from the side, above the plate's face, in mm."""
    root = ElementTree.fromstring(draw_at_hole(Ball(diameter), "soft <ball>", "ball-1"))
    left, right, ball = (each.get("points").split() for each in root.findall(f"{SVG}polygon"))
    plate = [float(pair.split(",")[1]) for pair in (*left, *right)]
    gap = [float(pair.split(",")[0]) for pair in (left[0], right[0])]
    heights = [-float(pair.split(",")[1]) for pair in ball]
    assert (min(plate), max(plate)) == (0, 6.35)
    assert gap == pytest.approx([-22.225, 22.225], abs=0.006)
    return root, min(heights), max(heights)


@pytest.mark.parametrize("diameter", [20, 40, 44.45])
def test_a_ball_that_passes_is_drawn_halfway_through_the_hole(diameter):
    """16 CFR 1500.18(a)(17): a hole of 1.75 in in a plate of a quarter of an inch."""
    root, low, high = ball_and_hole(diameter)
    assert high + low == pytest.approx(-6.35, abs=0.02)
    assert "passes the small-ball hole of 44.45 mm" in root.find(f"{SVG}desc").text
    assert root.find(f"{SVG}title").text == "soft <ball> at the small-ball hole"


@pytest.mark.parametrize(
    ("diameter", "says"),
    [(45, "measuring cannot tell"), (45.45, "measuring cannot tell"), (66, "is wider than")],
)
def test_a_wider_ball_is_drawn_lying_on_the_rim(diameter, says):
    """It touches the rim: its middle is as high above it as Pythagoras has it."""
    root, low, high = ball_and_hole(diameter)
    middle = (low + high) / 2
    assert middle**2 + 22.225**2 == pytest.approx((diameter / 2) ** 2, rel=0.001)
    assert middle > 0
    assert says in root.find(f"{SVG}desc").text
    assert "passes" not in root.find(f"{SVG}desc").text


@pytest.mark.parametrize("diameter", [20, 45, 66, 200])
def test_all_of_a_ball_and_its_plate_lie_on_the_paper(diameter):
    root = ElementTree.fromstring(draw_at_hole(Ball(diameter), "ball"))
    left, top, width, height = map(float, root.get("viewBox").split())
    for shape in root.findall(f"{SVG}polygon"):
        for x, y in (map(float, pair.split(",")) for pair in shape.get("points").split()):
            assert left <= x <= left + width
            assert top <= y <= top + height
