"""Formulas for objects that lie in the cylinder in its plane of symmetry.

The cylinder is its own mirror image in the plane y = 0. In every pose here the object is, too:
one of its axes lies along y and the other two are turned in the plane by one angle, so that what
fits is a formula of that angle. The pose with most room is then found by stepping through the
angle and closing in on each peak.

All solids here are the same on both sides of their middle, so an object touches the opening and
the floor equally far from its middle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from library.safety.cylinder import Gauge, Pose, Vector

Room: TypeAlias = tuple[float, float, float]
"""For one angle: how far the object can move to the deep side before it meets the wall; how far
above its middle it reaches; how far below, along the slope of the floor."""

Profile: TypeAlias = Callable[[float, float, Gauge], Room]
"""Cosine and sine of the angle, and the gauge, to the room there."""

STEPS = 180
_TURNS = tuple((math.cos(a), math.sin(a)) for a in (math.pi * i / STEPS for i in range(STEPS)))
_PEAK_DEPTH = 8.0
"""mm that a peak may lie below the highest step: between two steps of 1° nothing under 100 mm
long gains more than that, and of longer things none fits."""
_GOLDEN = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True)
class Stance:
    """A family of poses: which of the object's axes lies across, and its formula."""

    profile: Profile
    order: tuple[int, int, int]
    """Which axis of the object is turned by the angle, which lies along y, which stands at a
    right angle to both."""

    def slack(self, angle: float, gauge: Gauge) -> float:
        """Room left in mm in the tightest direction; negative where it does not fit."""
        return _slack(self.profile(math.cos(angle), math.sin(angle), gauge), gauge)

    def pose(self, angle: float, gauge: Gauge) -> Pose:
        """The pose, moved to the deep side and down to the floor of a gauge.

        Where the object does not fit that gauge, it stands in the middle and out of the top.
        """
        c, s = math.cos(angle), math.sin(angle)
        aside, _, below = self.profile(c, s, gauge)
        aside = max(aside, 0.0)
        depth = gauge.middle + gauge.slope * aside - below
        turned: tuple[Vector, Vector, Vector] = ((c, 0.0, s), (0.0, 1.0, 0.0), (-s, 0.0, c))
        axes = [turned[0]] * 3
        for place, axis in zip(self.order, turned, strict=True):
            axes[place] = axis
        return Pose((axes[0], axes[1], axes[2]), (aside, 0.0, depth))


def box_stances(halves: Vector) -> Iterator[Stance]:
    """The three families of a box of these half widths, one for each axis that lies across."""
    for across in range(3):
        one, two = (axis for axis in range(3) if axis != across)
        yield Stance(_box(halves[one], halves[two], halves[across]), (one, across, two))


def ellipsoid_stances(halves: Vector) -> Iterator[Stance]:
    """The three families of an ellipsoid of these half widths."""
    for across in range(3):
        one, two = (axis for axis in range(3) if axis != across)
        yield Stance(_ellipsoid(halves[one], halves[two], halves[across]), (one, across, two))


def cylinder_stances(radius: float, half: float) -> Iterator[Stance]:
    """The families of a round rod or disc; its own axis is the third.

    Leaning, it has the round ends above each other; lying across, it is a box seen from above
    and round seen from the side.
    """
    yield Stance(_leaning_rod(radius, half), (2, 1, 0))
    yield Stance(_rod_across(radius, half), (0, 2, 1))


def best_angle(stances: tuple[Stance, ...], gauge: Gauge) -> tuple[Stance, float, float]:
    """The family, angle and margin with most room.

    Returns:
        The stance, its angle in radians, and by how many mm the gauge's three measures could
        shrink (negative: would have to grow) with the object just fitting in that pose.
    """
    best, angle = stances[0], 0.0
    margin = margin_at(best.slack, angle, gauge)
    while True:
        tight = gauge.shrunk(margin)
        peaks = [(*peak, stance) for stance in stances for peak in _peaks(stance, tight)]
        slack, found, stance = max(peaks, key=lambda peak: peak[0])
        if slack <= 1e-9:
            return best, angle, margin
        better = margin_at(stance.slack, found, gauge)
        if better - margin < 1e-9:
            return best, angle, margin
        best, angle, margin = stance, found, better


def margin_at(slack: Callable[[float, Gauge], float], angle: float, gauge: Gauge) -> float:
    """By how many mm a gauge can shrink until one pose just fits, by halving; to 1e-9 mm."""
    high = gauge.diameter - 1e-9
    low = -1.0
    while slack(angle, gauge.shrunk(low)) < 0:
        low *= 2
    while high - low > 1e-9:
        middle = (low + high) / 2
        if slack(angle, gauge.shrunk(middle)) >= 0:
            low = middle
        else:
            high = middle
    return low


def _slack(room: Room, gauge: Gauge) -> float:
    aside, above, below = room
    return min(aside, gauge.middle + gauge.slope * aside - above - below)


def _peaks(stance: Stance, gauge: Gauge) -> Iterator[tuple[float, float]]:
    """The highest step of the angle and each other peak near it, closed in on."""
    values = [_slack(stance.profile(c, s, gauge), gauge) for c, s in _TURNS]
    step = math.pi / STEPS
    highest = max(range(STEPS), key=values.__getitem__)
    yield values[highest], highest * step
    for i, value in enumerate(values):
        is_peak = value > values[i - 1] and value >= values[(i + 1) % STEPS]
        if is_peak and value >= values[highest] - _PEAK_DEPTH:
            yield _close_in(stance, gauge, (i - 1) * step, (i + 1) * step)


def _close_in(stance: Stance, gauge: Gauge, low: float, high: float) -> tuple[float, float]:
    """The top of one peak and its angle, by golden section."""
    one, two = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    left, right = stance.slack(one, gauge), stance.slack(two, gauge)
    while high - low > 1e-8:
        if left > right:
            high, two, right = two, one, left
            one = high - _GOLDEN * (high - low)
            left = stance.slack(one, gauge)
        else:
            low, one, left = one, two, right
            two = low + _GOLDEN * (high - low)
            right = stance.slack(two, gauge)
    return max((left, one), (right, two))


def _box(p: float, q: float, b: float) -> Profile:
    """A rectangle p by q turned in the plane, b to each side of it (half widths)."""

    def room(c: float, s: float, gauge: Gauge) -> Room:
        wide = p * abs(c) + q * abs(s)
        chord = gauge.radius**2 - b * b
        aside = math.sqrt(chord) - wide if chord >= 0 else gauge.radius - b - wide
        k = gauge.slope
        return aside, p * abs(s) + q * abs(c), p * abs(s - k * c) + q * abs(c + k * s)

    return room


def _ellipsoid(p: float, q: float, b: float) -> Profile:
    """An ellipse p by q turned in the plane, b to each side of it (half widths)."""

    def room(c: float, s: float, gauge: Gauge) -> Room:
        k = gauge.slope
        aside = ellipse_in_circle(math.hypot(p * c, q * s), b, gauge.radius)
        below = math.hypot(p * (s - k * c), q * (c + k * s))
        return aside, math.hypot(p * s, q * c), below

    return room


def _leaning_rod(r: float, h: float) -> Profile:
    """A rod of radius r and half length h, its own axis turned in the plane."""

    def room(c: float, s: float, gauge: Gauge) -> Room:
        # The axis is (c, 0, s): upright where c is 0.
        k = gauge.slope
        aside = ellipse_in_circle(r * abs(s), r, gauge.radius) - h * abs(c)
        return aside, h * abs(s) + r * abs(c), h * abs(s - k * c) + r * abs(c + k * s)

    return room


def _rod_across(r: float, h: float) -> Profile:
    """A rod lying along y: the angle changes nothing."""

    def room(c: float, s: float, gauge: Gauge) -> Room:
        chord = gauge.radius**2 - h * h
        aside = math.sqrt(chord) - r if chord >= 0 else gauge.radius - h - r
        return aside, r, r * math.hypot(1.0, gauge.slope)

    return room


def ellipse_in_circle(along: float, across: float, radius: float) -> float:
    """How far an ellipse can move along its first half width and stay in a circle round the origin.

    For a half width ``along`` x and ``across`` y: it meets the circle at its tip, unless it is
    blunter there than the circle, where it meets it at two points beside the tip. Negative where
    it does not fit at all.
    """
    if across > radius:
        return radius - across - along
    tip = radius - along
    if along >= across:
        return tip
    sharp = across**2 - along**2
    beside = math.sqrt((radius**2 - across**2) * sharp) / across
    return beside if beside * along < sharp else tip
