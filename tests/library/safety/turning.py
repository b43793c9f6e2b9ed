"""Another way to ask what fits the small-parts cylinder: general optimisation over points.

It shares no line with the package: an object is a cloud of points on its hull (an egg shape: its
outline from above, with how far it reaches up and down), a pose is a rotation vector and a shift,
and scipy's SLSQP shrinks the cylinder from many starts.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

import numpy as np
from scipy.optimize import minimize
from scipy.spatial.transform import Rotation

WIDE, SHALLOW, DEEP = 31.75, 25.4, 57.15
CORNERS = np.array(list(product((1, -1), repeat=3)), dtype=float)
ROUND = 48
ANGLES = np.arange(ROUND) * 2 * np.pi / ROUND
RIM = np.stack([np.cos(ANGLES), np.sin(ANGLES)]) / np.cos(np.pi / ROUND)
"""A polygon round the unit circle, 0.2 % larger than it, so that what it says fits does fit."""


def hull_points(form: str, sizes: tuple[float, ...]) -> np.ndarray:
    """Points whose hull holds the object (an egg shape: points on it).

    A cylinder or a disc is given by width and length, a box or an ellipsoid by three widths.
    """
    if form == "box":
        return CORNERS * np.array(sizes) / 2
    if form == "cylinder":
        ends = [np.vstack([RIM * sizes[0] / 2, np.full(ROUND, z * sizes[1] / 2)]) for z in (1, -1)]
        return np.hstack(ends).T
    i = np.arange(400) + 0.5
    z, turn = 1 - i / 200, i * np.pi * (1 + 5**0.5)
    wide = np.sqrt(1 - z * z)
    return np.stack([wide * np.cos(turn), wide * np.sin(turn), z]).T * np.array(sizes) / 2


def margin_by_points(form: str, sizes: tuple[float, ...], starts: int, seed: int) -> float:
    """The largest amount in mm by which the cylinder can shrink round the object, as found."""
    rng = np.random.default_rng(seed)
    room = _egg_room(sizes) if form == "ellipsoid" else _point_room(hull_points(form, sizes))
    best = -np.inf
    for _ in range(starts):
        turn = Rotation.random(random_state=int(rng.integers(1 << 31))).as_rotvec()
        found = minimize(
            lambda v: -v[6],
            np.concatenate([turn, [0, 0, 25, -20]]),
            jac=lambda v: np.array([0, 0, 0, 0, 0, 0, -1.0]),
            constraints={"type": "ineq", "fun": room},
            bounds=[(None, None)] * 6 + [(None, WIDE - 1)],
            method="SLSQP",
            options={"maxiter": 150, "ftol": 1e-9},
        )
        if found.x[6] < WIDE - 1 and room(found.x).min() > -1e-6:
            best = max(best, float(found.x[6]))
    return best


def _point_room(points: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
    def room(v: np.ndarray) -> np.ndarray:
        placed = points @ Rotation.from_rotvec(v[:3]).as_matrix().T + v[3:6]
        return room_of(placed, v[6])

    return room


def _egg_room(sizes: tuple[float, ...]) -> Callable[[np.ndarray], np.ndarray]:
    def room(v: np.ndarray) -> np.ndarray:
        spread = Rotation.from_rotvec(v[:3]).as_matrix() * np.array(sizes) / 2
        slope = (DEEP - SHALLOW) / (WIDE - v[6])
        flat = spread[:2] @ spread[:2].T
        one = np.sqrt(flat[0, 0])
        two = np.sqrt(max(flat[1, 1] - (flat[0, 1] / one) ** 2, 1e-12))
        x, y = one * RIM[0] + v[3], flat[0, 1] / one * RIM[0] + two * RIM[1] + v[4]
        radius = (WIDE - v[6]) / 2
        up = v[5] - np.linalg.norm(spread[2])
        floor = (DEEP + SHALLOW) / 2 - v[6] + slope * v[3] - v[5]
        below = floor - np.linalg.norm(spread[2] - slope * spread[0])
        return np.append((radius**2 - x**2 - y**2) / (2 * radius), [up, below])

    return room


def room_of(placed: np.ndarray, shrunk: float = 0.0) -> np.ndarray:
    """How far each point lies inside each of the cylinder's walls (wall: in mm of the radius)."""
    radius = (WIDE - shrunk) / 2
    slope = (DEEP - SHALLOW) / (WIDE - shrunk)
    floor = (DEEP + SHALLOW) / 2 - shrunk + slope * placed[:, 0] - placed[:, 2]
    wall = (radius**2 - placed[:, 0] ** 2 - placed[:, 1] ** 2) / (2 * radius)
    return np.concatenate([wall, placed[:, 2], floor])
