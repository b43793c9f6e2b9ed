"""Draws an object in the small-parts cylinder, or a ball at the small-ball hole, as an SVG.

Both from the side and from above, to scale.

Plain lines in the colour of the text around them. No style attributes and no script, so that
pages may forbid both.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from html import escape
from typing import TypeAlias

from library.materials.shapes import Ball, Box, Cylinder, Disc, Shape, describe, show_mm
from library.safety.cylinder import PLATE, SMALL_BALL, SMALL_PARTS, Pose, Vector
from library.safety.small_parts import Fit, fit, passes_hole, sizes_of_hull, through_hole

Point: TypeAlias = tuple[float, float]
_View: TypeAlias = tuple[str, Sequence[Point]]
"""What is drawn, and points that all of it lies between."""

_TURNS = tuple(2 * math.pi * i / 48 for i in range(48))
_SIDE, _ABOVE = (0, 2), (0, 1)
"""Which of x, y and depth runs right and down in each view."""
_EDGE = 6.0
"""mm of paper round the drawing."""
_RIM = 12.0
"""mm of the plate that are drawn on each side of its hole."""


def draw(shape: Shape, name: str, ident: str = "small-part", *, soft: bool = False) -> str:
    """An SVG of a shape in the cylinder in the pose with most room, to scale.

    Args:
        shape: What is drawn.
        name: What the thing is called, for the drawing's title.
        ident: Start of the ids of title and description; different for each drawing on a page.
        soft: Whether it can be squeezed; the description then leaves the answer to a person.
    """
    found = fit(shape)
    side = outline(shape, found.pose, _SIDE)
    above = outline(shape, found.pose, _ABOVE)
    gauge = SMALL_PARTS
    walls = [
        (-gauge.radius, 0.0),
        (-gauge.radius, gauge.shallow),
        (gauge.radius, gauge.deep),
        (gauge.radius, 0.0),
    ]
    return _two_views(
        (f"{_cylinder_from_the_side()}{_polygon(side)}", [*walls, *side]),
        (f"{_ring(gauge.radius)}{_polygon(above)}", [*_circle(gauge.radius), *above]),
        f"{name} in the small-parts cylinder",
        in_words(shape, found, soft=soft),
        ident,
    )


def draw_at_hole(ball: Ball, name: str, ident: str = "small-ball") -> str:
    """An SVG of a ball at the small-ball hole, to scale: halfway through it, or lying on its rim.

    Source: 16 CFR 1500.18(a)(17): a hole of 1.75 in through a rigid plate a quarter of an inch thick.

    Args:
        ball: What is drawn.
        name: What the thing is called, for the drawing's title.
        ident: Start of the ids of title and description; different for each drawing on a page.
    """
    radius, hole = ball.diameter / 2, SMALL_BALL / 2
    lies = PLATE / 2 if passes_hole(ball) else -math.sqrt(radius**2 - hole**2)
    side = [(x, y + lies) for x, y in _circle(radius)]
    edge = hole + _RIM
    left, right = ([(end, 0.0), (end, PLATE), (edge * sign, PLATE), (edge * sign, 0.0)]
                   for sign, end in ((-1, -hole), (1, hole)))  # fmt: skip
    plate = "".join(_polygon(part, filled=False) for part in (left, right))
    return _two_views(
        (f"{plate}{_polygon(side)}", [*left, *right, *side]),
        (f"{_ring(hole)}{_polygon(_circle(radius))}", [*_circle(hole), *_circle(radius)]),
        f"{name} at the small-ball hole",
        at_hole_in_words(ball),
        ident,
    )


def at_hole_in_words(ball: Ball) -> str:
    """What the drawing of a ball at the hole shows, for those who cannot see it."""
    what = describe(ball)
    return (
        f"{what[0].upper()}{what[1:]} at a hole {show_mm(SMALL_BALL)} mm wide in a plate "
        f"{show_mm(PLATE)} mm thick, seen from the side and from above. It {through_hole(ball)}."
    )


def _two_views(side: _View, above: _View, title: str, words: str, ident: str) -> str:
    """One SVG of a thing from the side and, beside it, from above."""
    left, top, right, bottom = _bounds(side[1])
    far_left, far_top, far_right, far_bottom = _bounds(above[1])
    shift = right + 2 * _EDGE - far_left
    drop = (top + bottom) / 2 - (far_top + far_bottom) / 2
    top, bottom = min(top, far_top + drop), max(bottom, far_bottom + drop)
    width = shift + far_right - left + 2 * _EDGE
    box = f"{_n(left - _EDGE)} {_n(top - _EDGE)} {_n(width)} {_n(bottom - top + 2 * _EDGE)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img" '
        f'aria-labelledby="{escape(ident)}-title {escape(ident)}-desc" fill="none" '
        'stroke="currentColor" stroke-width="0.5" stroke-linejoin="round">'
        f'<title id="{escape(ident)}-title">{escape(title)}</title>'
        f'<desc id="{escape(ident)}-desc">{escape(words)}</desc>'
        f'{side[0]}<g transform="translate({_n(shift)} {_n(drop)})">{above[0]}</g></svg>'
    )


def in_words(shape: Shape, found: Fit, *, soft: bool = False) -> str:
    """What the drawing shows, for those who cannot see it."""
    gauge, what = SMALL_PARTS, describe(shape)
    shown = (
        f"{what[0].upper()}{what[1:]} beside the walls of the cylinder, "
        f"{show_mm(gauge.diameter)} mm wide and {show_mm(gauge.shallow)} to {show_mm(gauge.deep)} "
        "mm deep, seen from the side and from above, in the pose with most room."
    )
    if soft and not found.is_small_part:
        return f"{shown} It is drawn as it is; since it is soft, a person has to squeeze it in."
    return f"{shown} It {found.in_words()}."


def outline(shape: Shape, pose: Pose, view: tuple[int, int]) -> tuple[Point, ...]:
    """The outline of a shape in a pose, in mm, in one view."""
    return _hull((point[view[0]], point[view[1]]) for point in _points(shape, pose, view))


def _points(shape: Shape, pose: Pose, view: tuple[int, int]) -> Iterable[Vector]:
    """Points of the shape that make up its outline in a view."""
    a, b, c = (width / 2 for width in sizes_of_hull(shape))
    if isinstance(shape, Box):
        return [
            _place(pose, (i * a, j * b, k * c)) for i in (1, -1) for j in (1, -1) for k in (1, -1)
        ]
    if isinstance(shape, Cylinder | Disc):
        rims = [(a * math.cos(turn), a * math.sin(turn), end) for turn in _TURNS for end in (c, -c)]
        return [_place(pose, rim) for rim in rims]
    return [_egg_point(pose, (a, b, c), view, turn) for turn in _TURNS]


def _egg_point(pose: Pose, halves: Vector, view: tuple[int, int], turn: float) -> Vector:
    """The point of an egg shape that lies farthest in one direction of a view."""
    look = [axis[view[0]] * math.cos(turn) + axis[view[1]] * math.sin(turn) for axis in pose.axes]
    reach = math.hypot(*(half * part for half, part in zip(halves, look, strict=True)))
    x, y, z = (half**2 * part / reach for half, part in zip(halves, look, strict=True))
    return _place(pose, (x, y, z))


def _place(pose: Pose, own: Vector) -> Vector:
    """A point given along the object's own axes, in the cylinder."""
    x, y, z = (
        sum(part * axis[i] for part, axis in zip(own, pose.axes, strict=True)) + pose.centre[i]
        for i in range(3)
    )
    return x, y, z


def _hull(points: Iterable[Point]) -> tuple[Point, ...]:
    """The convex hull of points, by Andrew's monotone chain."""
    ordered = sorted({(round(x, 3), round(y, 3)) for x, y in points})
    lower, upper = _chain(ordered), _chain(ordered[::-1])
    return (*lower[:-1], *upper[:-1])


def _chain(points: Sequence[Point]) -> list[Point]:
    chain: list[Point] = []
    for point in points:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _circle(radius: float) -> list[Point]:
    return [(radius * math.cos(turn), radius * math.sin(turn)) for turn in _TURNS]


def _bounds(points: Iterable[Point]) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _cylinder_from_the_side() -> str:
    """Walls and slanted floor; the opening is a broken line."""
    r, gauge = _n(SMALL_PARTS.radius), SMALL_PARTS
    return (
        f'<path d="M-{r} 0V{_n(gauge.shallow)}L{r} {_n(gauge.deep)}V0"/>'
        f'<path d="M-{r} 0H{r}" stroke-dasharray="2 1.5"/>'
    )


def _ring(radius: float) -> str:
    return f'<circle cx="0" cy="0" r="{_n(radius)}"/>'


def _polygon(points: Iterable[Point], *, filled: bool = True) -> str:
    corners = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
    look = ' fill="currentColor" fill-opacity="0.12" stroke-width="0.9"' if filled else ""
    return f'<polygon points="{corners}"{look}/>'


def _n(number: float) -> str:
    """A number for the SVG, with at most two decimals."""
    return f"{number:.2f}".rstrip("0").rstrip(".") if abs(number) >= 0.005 else "0"
