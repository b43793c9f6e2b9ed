"""The small-parts cylinder of 16 CFR 1501.4, and the small-ball template of 16 CFR 1500.18(a)(17).

Lengths in mm. A place in the cylinder is (x, y, depth): x along the slope of the floor, from the
shallow side to the deep one, 0 on the axis; depth downwards from the opening.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

Vector: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Gauge:
    """A round hole with a slanted floor."""

    diameter: float
    """Inside width."""
    shallow: float
    """Depth at the side where the floor is nearest to the opening."""
    deep: float
    """Depth at the opposite side."""

    @property
    def radius(self) -> float:
        """Half the width."""
        return self.diameter / 2

    @property
    def middle(self) -> float:
        """Depth of the floor on the axis."""
        return (self.shallow + self.deep) / 2

    @property
    def slope(self) -> float:
        """How much deeper the floor lies for each mm along x; 1 (45°) in the published gauge."""
        return (self.deep - self.shallow) / self.diameter

    def shrunk(self, by: float) -> Gauge:
        """The gauge with each of its three measures smaller by so many mm; a negative number grows it.

        A smaller one lies wholly inside a larger one on the same axis, so that what fits the
        smaller also fits the larger.
        """
        return Gauge(self.diameter - by, self.shallow - by, self.deep - by)


SMALL_PARTS = Gauge(1.25 * 25.4, 1.0 * 25.4, 2.25 * 25.4)
"""31.75 wide, 25.4 to 57.15 deep.

Source: 16 CFR 1501.4(a), figure 1: the inch measures decide; the printed mm are rounded down and
would let larger pieces through unflagged.
"""

TOLERANCE = 1.0
"""mm by which the gauge is grown before a piece counts as too large (PART1)."""

SMALL_BALL = 1.75 * 25.4
"""44.45 mm: width of the hole of 16 CFR 1500.18(a)(17) and 1500.19(a)(2), 1.75 in."""
PLATE = 0.25 * 25.4
"""6.35 mm: thickness of the plate with that hole, 1/4 in."""

ROUNDING = 1e-6
"""mm that arithmetic may be off; counted towards fitting."""


@dataclass(frozen=True, slots=True)
class Pose:
    """How an object lies in the cylinder."""

    axes: tuple[Vector, Vector, Vector]
    """Directions of the object's own three axes, at right angles, of length 1."""
    centre: Vector
    """Place of its middle."""
