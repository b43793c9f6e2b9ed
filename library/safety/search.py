"""Looks for a pose in the cylinder among all turns in space, from many starts.

The formulas of ``closed_forms`` know only poses that lie in the cylinder's plane of symmetry. For
a box none with more room has been found. An egg shape now and then gains a few hundredths of a
millimetre when it is turned out of that plane. So whatever the formulas call too large is turned
freely before it is believed. The search is the same every time it runs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from library.safety.closed_forms import margin_at
from library.safety.cylinder import Gauge, Pose, Vector

Array: TypeAlias = NDArray[np.float64]

STARTS = 512
"""Turns tried first, spread evenly over all turns in space."""
KEPT = 12
"""How many of them are followed."""
ROUNDS = 80
LEAST_GAIN = 1e-4
"""A margin in mm must be larger by so much to count as more."""
_SHRINK = 0.7
_COARSE, _FINE = 48, 720
"""Points on half of an egg shape's outline seen from above, while searching and for the answer."""
_CORNERS = np.array([[1, i, j] for i in (1, -1) for j in (1, -1)], dtype=float)
_SPOKES = np.array(
    [[1, 0, 0], [0, 1, 0], [0, 0, 1], *([1, i, j] for i in (1, -1) for j in (1, -1))], dtype=float
)
_SPOKES = (
    np.vstack([_SPOKES, -_SPOKES]) / np.linalg.norm(np.vstack([_SPOKES, -_SPOKES]), axis=1)[:, None]
)


@dataclass(frozen=True, slots=True)
class Solid:
    """A box or an ellipsoid by its half widths in mm."""

    form: Literal["box", "ellipsoid"]
    halves: Vector


def search(
    solid: Solid, gauge: Gauge, beat: float, near: Pose | None = None
) -> tuple[float, Pose] | None:
    """A pose with a larger margin than the one given, or None if the search finds none.

    Args:
        solid: What is turned.
        gauge: The cylinder.
        beat: A margin in mm, as in ``closed_forms.best_angle``.
        near: A pose to start from as well.

    Returns:
        The margin in mm and the pose in the gauge.
    """
    tight = gauge.shrunk(beat + LEAST_GAIN)
    turns = spread_turns(STARTS)
    order = np.argsort(slack(solid, turns, np.zeros(len(turns)), tight))[::-1][:KEPT]
    turns = turns[order]
    if near is not None:
        turns = np.concatenate([turns, np.array(near.axes).T[None]])
    turns, aside = _follow(solid, turns, np.zeros(len(turns)), tight)
    found = slack(solid, turns, aside, tight)
    best = int(found.argmax())
    if found[best] <= 0:
        return None
    turn, side = turns[best : best + 1], aside[best : best + 1]
    margin = margin_at(lambda _, at: float(slack(solid, turn, side, at, _FINE)[0]), 0.0, gauge)
    return (margin, _pose(solid, turn, side, gauge)) if margin > beat + LEAST_GAIN else None


def slack(solid: Solid, turns: Array, aside: Array, gauge: Gauge, points: int = _COARSE) -> Array:
    """Room in mm in the tightest direction, for each turn with each shift along y.

    Args:
        solid: What is turned.
        turns: Matrices whose columns are the directions of the solid's axes, one a turn.
        aside: Place of its middle along y.
        gauge: The cylinder.
        points: How finely the outline of an egg shape is taken.
    """
    right, left = _walls(solid, turns, aside, gauge, points)
    above, below = _reach(solid, turns, gauge)
    found: Array = np.minimum(
        (right - left) / 2, gauge.middle + gauge.slope * right - above - below
    )
    return found


def spread_turns(count: int) -> Array:
    """Turns in space, spread evenly: super-Fibonacci spirals (Alexa, CVPR 2022)."""
    place = np.arange(count) + 0.5
    inner, outer = np.sqrt(place / count), np.sqrt(1 - place / count)
    one, two = 2 * math.pi * place / math.sqrt(2), 2 * math.pi * place / 1.533751168755204288118041
    x, y = inner * np.sin(one), inner * np.cos(one)
    z, w = outer * np.sin(two), outer * np.cos(two)
    rows = [
        [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
        [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
        [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
    ]
    return np.moveaxis(np.array(rows), -1, 0)


def _follow(solid: Solid, turns: Array, aside: Array, gauge: Gauge) -> tuple[Array, Array]:
    """Each start followed uphill by small turns and shifts, with steps that shrink."""
    mixers = spread_turns(ROUNDS)
    radius = np.full(len(turns), 0.2)
    best = slack(solid, turns, aside, gauge)
    shifts = np.repeat([0.0, 1.0, -1.0], len(_SPOKES))
    for mixer in mixers:
        spokes = np.tile(_SPOKES @ mixer.T, (3, 1))
        small = _small_turns(radius[:, None, None] * spokes)
        tried = small @ turns[:, None]
        sides = aside[:, None] + 5 * radius[:, None] * shifts
        found = slack(solid, tried.reshape(-1, 3, 3), sides.ravel(), gauge).reshape(len(turns), -1)
        at = found.argmax(axis=1)
        rows = np.arange(len(turns))
        better = found[rows, at] > best
        turns = np.where(better[:, None, None], tried[rows, at], turns)
        aside = np.where(better, sides[rows, at], aside)
        best = np.where(better, found[rows, at], best)
        radius = np.where(better, radius, radius * _SHRINK)
    return turns, aside


def _small_turns(vectors: Array) -> Array:
    """Turns about vectors by their lengths in radians (Rodrigues)."""
    angle = np.linalg.norm(vectors, axis=-1)[..., None, None]
    x, y, z = np.moveaxis(vectors, -1, 0)
    zero = np.zeros_like(x)
    cross = np.moveaxis(np.array([[zero, -z, y], [z, zero, -x], [-y, x, zero]]), (0, 1), (-2, -1))
    turned: Array = (
        np.eye(3)
        + np.sinc(angle / math.pi) * cross
        + np.sinc(angle / 2 / math.pi) ** 2 / 2 * (cross @ cross)
    )
    return turned


def _outline(solid: Solid, turns: Array, points: int) -> tuple[Array, Array]:
    """Points x and y of half the solid's outline seen from above, about its middle."""
    flat = turns[:, :2, :] * np.array(solid.halves)
    if solid.form == "box":
        corners = flat @ _CORNERS.T
        return corners[:, 0], corners[:, 1]
    angles = math.pi * np.arange(points) / points
    shade = flat @ np.swapaxes(flat, 1, 2)  # its Cholesky factor makes the outline of a circle
    wide = np.sqrt(np.maximum(shade[:, 0, 0], 1e-12))[:, None]
    skew = shade[:, 0, 1][:, None] / wide
    rest = np.sqrt(np.maximum(shade[:, 1, 1][:, None] - skew**2, 0))
    return wide * np.cos(angles), skew * np.cos(angles) + rest * np.sin(angles)


def _walls(
    solid: Solid, turns: Array, aside: Array, gauge: Gauge, points: int
) -> tuple[Array, Array]:
    """The farthest places along x to which the middle can move, right and left."""
    x, y = _outline(solid, turns, points)
    right = np.full(len(turns), np.inf)
    left = -right
    for sign in (1, -1):
        chord = gauge.radius**2 - (aside[:, None] + sign * y) ** 2
        reach = np.where(chord >= 0, np.sqrt(np.abs(chord)), -np.sqrt(np.abs(chord)))
        right = np.minimum(right, (reach - sign * x).min(axis=1))
        left = np.maximum(left, (-reach - sign * x).max(axis=1))
    return right, left


def _reach(solid: Solid, turns: Array, gauge: Gauge) -> tuple[Array, Array]:
    """How far the solid reaches from its middle, upwards and towards the floor."""
    halves = np.array(solid.halves)
    up = turns[:, 2] * halves
    floor = (turns[:, 2] - gauge.slope * turns[:, 0]) * halves
    if solid.form == "box":
        return np.abs(up).sum(axis=1), np.abs(floor).sum(axis=1)
    return np.linalg.norm(up, axis=1), np.linalg.norm(floor, axis=1)


def _pose(solid: Solid, turn: Array, aside: Array, gauge: Gauge) -> Pose:
    right, left = _walls(solid, turn, aside, gauge, _FINE)
    side = float(right[0]) if right[0] >= left[0] else float(right[0] + left[0]) / 2
    _, below = _reach(solid, turn, gauge)
    depth = gauge.middle + gauge.slope * side - float(below[0])
    columns = [tuple(float(part) for part in turn[0, :, axis]) for axis in range(3)]
    one, two, three = ((c[0], c[1], c[2]) for c in columns)
    return Pose((one, two, three), (side, float(aside[0]), depth))
