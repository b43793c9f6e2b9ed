"""The project's drawings on paper."""

import math

import pytest

from library.paper.pictograms import read_path, read_pictograms
from tests.library.paper.samples import drawings


def test_every_drawing_of_the_pages_is_read_and_stays_on_its_ground():
    assert {"water", "sensory", "circle", "other"} <= set(drawings().outlines)
    for outline in drawings().outlines.values():
        numbers = [n for _, args in outline for n in args]
        assert numbers
        assert -0.5 <= min(numbers) <= max(numbers) <= 24.5


def test_a_center_without_a_drawing_gets_the_plain_one():
    assert drawings().of("quiet-corner") == drawings().of("other")


def test_letters_in_lower_case_count_from_where_the_pen_is():
    assert list(read_path("M3 4h2v2l-1 1z")) == [
        ("move", (3, 4)),
        ("line", (5, 4)),
        ("line", (5, 6)),
        ("line", (4, 7)),
        ("close", ()),
    ]


def test_a_smooth_curve_goes_on_as_the_one_before():
    """SVG 1.1, 8.3.6: the first control point is the reflection of the last one."""
    steps = list(read_path("M0 0c1 1 2 1 3 0s2-1 3 0"))
    assert steps[2] == ("curve", (4, -1, 5, -1, 6, 0))


@pytest.mark.parametrize(("sweep", "large"), [(0, 0), (1, 0), (0, 1), (1, 1)])
def test_points_of_an_arc_lie_on_its_circle(sweep, large):
    """SVG 1.1, F.6: the arc from (0, 0) to (6, 0) of radius 5 has its center at (3, ±4)."""
    steps = list(read_path(f"M0 0a5 5 0 {large} {sweep} 6 0"))
    up = sweep == large
    center = (3, -4 if up else 4)
    assert steps[-1][1][4:] == pytest.approx((6, 0))
    at = (0.0, 0.0)
    for _, (x1, y1, x2, y2, x, y) in steps[1:]:
        middle = (
            at[0] / 8 + 3 * x1 / 8 + 3 * x2 / 8 + x / 8,
            at[1] / 8 + 3 * y1 / 8 + 3 * y2 / 8 + y / 8,
        )
        assert math.dist(middle, center) == pytest.approx(5, rel=3e-4)
        assert math.dist((x, y), center) == pytest.approx(5)
        at = (x, y)
    turned = len(steps) - 1
    assert turned > 2 if large else turned <= 2


@pytest.mark.parametrize(
    "shape", ['<rect width="2"/>', '<path d="M0 0T3 3"/>', '<path d="M0 0a5 3 20 0 1 6 0"/>']
)
def test_what_is_not_understood_is_no_silent_gap(shape):
    svg = f'<svg xmlns="http://www.w3.org/2000/svg"><symbol id="x">{shape}</symbol></svg>'
    with pytest.raises(ValueError, match="pictograms"):
        read_pictograms(svg)
