"""Whether a piece fits wholly inside the small-parts cylinder, and whether a ball is a small ball.

A rigid object is taken as it is, uncompressed, in any orientation (16 CFR 1501.4(b)). What is
soft, or comes apart, has to be judged by a person as well: :func:`may_fit_squeezed`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from library.materials.shapes import (
    About,
    Ball,
    Box,
    Cylinder,
    Disc,
    Ellipsoid,
    Shape,
    Sphere,
    show_mm,
)
from library.safety.closed_forms import (
    Stance,
    best_angle,
    box_stances,
    cylinder_stances,
    ellipsoid_stances,
)
from library.safety.cylinder import (
    ROUNDING,
    SMALL_BALL,
    SMALL_PARTS,
    TOLERANCE,
    Pose,
    Vector,
)


@dataclass(frozen=True, slots=True)
class Fit:
    """How an object goes into the cylinder at its best."""

    margin: float
    """mm. From 0 up: by so much each of the cylinder's three measures could shrink with the
    object still wholly inside. Below 0: by so much each would have to grow."""
    pose: Pose
    """The pose with most room, lying on the floor of the cylinder."""

    @property
    def fits(self) -> bool:
        """Whether it fits wholly inside."""
        return self.margin >= -ROUNDING

    @property
    def is_small_part(self) -> bool:
        """Whether it fits, or would if each measure were 1 mm larger (PART1)."""
        return self.margin >= -TOLERANCE - ROUNDING

    def in_words(self) -> str:
        """The answer with its margin, as a clause."""
        if self.fits:
            room = show_mm(abs(self.margin))
            if room == "0":
                return "goes wholly into the cylinder, if only just"
            return (
                f"goes wholly into the cylinder, which could be {room} mm smaller in each measure"
            )
        short = show_mm(-self.margin)
        if self.is_small_part:
            return (
                f"sticks out of the cylinder by so little ({short} mm in each of its measures) "
                "that measuring cannot tell"
            )
        return f"sticks out: the cylinder would have to be {short} mm larger in each measure"


@lru_cache(maxsize=4096)
def fit(shape: Shape) -> Fit:
    """The pose in which a rigid shape has most room in the cylinder, with its margin.

    A shape that is ``about`` so large is judged as an egg shape of those widths. The box of the
    same widths holds that egg shape, so it never has more room: the egg is the cautious reading
    of the two.

    Source: 16 CFR 1501.4(a), (b), in the inch measures. Spheres, rods, discs and cubes by closed
    forms; boxes and egg shapes by formulas of one angle and, where those say no, by a search from
    many starts. The margin of an egg shape that fits may be short by some hundredths of a mm;
    all others are exact to 0.0001 mm.
    """
    stance, angle, margin = best_angle(_stances(shape), SMALL_PARTS)
    found = Fit(margin, stance.pose(angle, SMALL_PARTS))
    if found.fits or most_margin(shape) < -TOLERANCE - ROUNDING:
        return found
    return _search(shape, found) or found


@lru_cache(maxsize=4096)
def is_small_part(shape: Shape) -> bool:
    """Whether a shape fits the cylinder within 1 mm (PART1); quick for what is far too large."""
    if most_margin(shape) < -TOLERANCE - ROUNDING:
        return False
    return fit(shape).is_small_part


def is_small_ball(shape: Shape | None) -> bool:
    """Whether a ball passes the small-ball hole, within 1 mm: up to 45.45 mm (PART2, PART8).

    Source: 16 CFR 1500.18(a)(17) and 1500.19(a)(2): a hole 1.75 in wide.
    """
    return isinstance(shape, Ball) and shape.diameter <= SMALL_BALL + TOLERANCE + ROUNDING


def passes_hole(ball: Ball) -> bool:
    """Whether a ball of just this width goes through the small-ball hole, nothing added."""
    return ball.diameter <= SMALL_BALL + ROUNDING


def through_hole(ball: Ball) -> str:
    """What a ball does at the small-ball hole, in words (PART2)."""
    hole = f"the small-ball hole of {show_mm(SMALL_BALL)} mm"
    if passes_hole(ball):
        return f"passes {hole}"
    if is_small_ball(ball):
        return f"is so little wider than {hole} that measuring cannot tell"
    return f"is wider than {hole}, as its size is written down"


def is_small_round_piece(shape: Shape) -> bool:
    """Whether a round or egg-shaped piece is narrower than 1.75 in (PART8).

    Source: CFOC 6.4.1.2, which goes further than the federal cylinder. An egg shape counts by its
    middle width, the one that decides whether it passes a round hole end first.
    """
    if isinstance(shape, Sphere):
        return shape.diameter < SMALL_BALL
    return isinstance(shape, Ellipsoid) and _in_order(shape)[1] < SMALL_BALL


def most_margin(shape: Shape) -> float:
    """A margin in mm that no pose can beat, from two lengths alone.

    The longest straight line in the cylinder runs from the edge of the opening to the deepest
    point of the floor; and seen from above an object is never narrower than its middle width
    (a box: than the diagonal of its smallest face).
    """
    longest, across = _longest_and_across(shape)
    gauge = SMALL_PARTS
    # (diameter - t)² + (deep - t)² = longest², solved for the smaller t
    middle = (gauge.diameter + gauge.deep) / 2
    apart = (gauge.deep - gauge.diameter) / 2
    under = longest**2 / 2 - apart**2
    by_length = middle - math.sqrt(under) if under >= 0 else math.inf
    return min(by_length, gauge.diameter - across)


SQUEEZED_TO = 0.2
"""What is left of a soft thing's volume in a fist; common practice, no source."""

THIN = 5.0
"""mm up to which a soft thing is a sheet or a string, which 16 CFR 1501.4(b)(2) leaves out."""


def may_fit_squeezed(shape: Shape) -> bool:
    """Whether a soft piece that sticks out of the cylinder may go in when it is squeezed or bitten.

    Judged by volume: a fifth of its own against the cylinder's 32.7 cm³. The published test takes
    things uncompressed, so this is common practice, no source; a yes is a reason to look, and a
    no is no statement that it cannot go in. Sheets and strings up to 5 mm thick are left to the
    person.
    """
    if min(sizes_of_hull(shape)) <= THIN:
        return False
    room = math.pi * SMALL_PARTS.radius**2 * SMALL_PARTS.middle
    return volume(shape) * SQUEEZED_TO <= room


def volume(shape: Shape) -> float:
    """Volume of a shape in mm³; ``about`` counts as an egg shape."""
    match shape:
        case Sphere(d) | Ball(d):
            return math.pi * d**3 / 6
        case Cylinder(d, length) | Disc(d, length):
            return math.pi * d**2 * length / 4
        case Box(a, b, c):
            return a * b * c
        case Ellipsoid(a, b, c) | About(a, b, c):
            return math.pi * a * b * c / 6


def sizes_of_hull(shape: Shape) -> Vector:
    """Widths in mm of the box in which a shape lies."""
    match shape:
        case Sphere(d) | Ball(d):
            return d, d, d
        case Cylinder(d, length) | Disc(d, length):
            return d, d, length
        case Box(a, b, c) | Ellipsoid(a, b, c) | About(a, b, c):
            return a, b, c


def _stances(shape: Shape) -> tuple[Stance, ...]:
    a, b, c = (width / 2 for width in sizes_of_hull(shape))
    if isinstance(shape, Cylinder | Disc):
        return tuple(cylinder_stances(a, c))
    if isinstance(shape, Box):
        return tuple(box_stances((a, b, c)))
    return tuple(ellipsoid_stances((a, b, c)))


def _longest_and_across(shape: Shape) -> tuple[float, float]:
    small, middle, large = _in_order(shape)
    match shape:
        case Box():
            return math.hypot(small, middle, large), math.hypot(small, middle)
        case Cylinder(d, length) | Disc(d, length):
            return math.hypot(d, length), d
        case _:
            return large, middle


def _in_order(shape: Shape) -> Vector:
    small, middle, large = sorted(sizes_of_hull(shape))
    return small, middle, large


def _search(shape: Shape, known: Fit) -> Fit | None:
    """A pose with more room than is known, found among all turns in space; None if there is none.

    Only what would change an answer is looked for: what misses by far more than 1 mm is not
    measured more finely.
    """
    if isinstance(shape, Cylinder | Disc | Sphere | Ball):
        return None  # their closed forms are complete
    from library.safety.search import Solid, search  # numpy is loaded only where it is needed

    a, b, c = (width / 2 for width in sizes_of_hull(shape))
    solid = Solid("box" if isinstance(shape, Box) else "ellipsoid", (a, b, c))
    beat = max(known.margin, -TOLERANCE - 2 * ROUNDING)
    found = search(solid, SMALL_PARTS, beat, known.pose)
    return Fit(*found) if found else None
