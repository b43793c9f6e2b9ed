"""The project's line drawings as outlines, read from the same SVG file that the pages use. Pure.

Only what that file holds is understood: symbols of 24 by 24 with paths (M L H V C S Q A Z in both
cases), circles and ellipses. Anything else is an error, so that no drawing loses a part unseen.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from xml.etree import ElementTree  # nosec B405: reads the program's own file

from library.paper.sheet import Step

OTHER = "other"
"""Name of the drawing for a center that has none of its own."""
_TOKEN = re.compile(r"[MmLlHhVvCcSsAaZz]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_NUMBERS = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "a": 7, "z": 0}
_ARC_AS_CURVE = 4 / 3
Outline = tuple[Step, ...]
Point = tuple[float, float]


@dataclass(frozen=True)
class Pictograms:
    """Drawings by name."""

    outlines: Mapping[str, Outline] = field(default_factory=dict)

    def of(self, name: str) -> Outline:
        """The drawing of a name, or the plain one."""
        return self.outlines.get(name) or self.outlines.get(OTHER, ())


def read_pictograms(svg: str) -> Pictograms:
    """Reads every symbol of an SVG file.

    Raises:
        ValueError: For a shape or a path command that is not understood.
    """
    root = ElementTree.fromstring(svg)  # nosec B314: the program's own file
    found = {}
    for symbol in root:
        outline: list[Step] = []
        for shape in symbol:
            outline += _shape(shape)
        found[symbol.get("id", "")] = tuple(outline)
    return Pictograms(found)


def _shape(shape: ElementTree.Element) -> list[Step]:
    kind = shape.tag.rpartition("}")[2]
    if kind == "path":
        return list(read_path(shape.get("d", "")))
    if kind in ("circle", "ellipse"):
        number: Callable[[str], float] = lambda key: float(shape.get(key, "0"))  # noqa: E731
        rx = number("r") if kind == "circle" else number("rx")
        ry = number("r") if kind == "circle" else number("ry")
        return list(_ellipse((number("cx"), number("cy")), rx, ry))
    raise ValueError(f"pictograms: found <{kind}>; expected path, circle or ellipse")


def _ellipse(center: Point, rx: float, ry: float) -> Iterator[Step]:
    left, right = (center[0] - rx, center[1]), (center[0] + rx, center[1])
    yield "move", left
    yield from _arc(left, rx, ry, True, right)
    yield from _arc(right, rx, ry, True, left)
    yield "close", ()


def read_path(text: str) -> Iterator[Step]:
    """The steps of a path in absolute coordinates; arcs become curves, off by under 0.03 %.

    Raises:
        ValueError: For a command that is not understood.
    """
    if left := _TOKEN.sub("", text).strip(" ,\n"):
        raise ValueError(f"pictograms: found '{left}' in a path")
    at: Point = (0.0, 0.0)
    start, control = at, at
    for command, numbers in _commands(_TOKEN.findall(text)):
        ox, oy = at if command.islower() else (0.0, 0.0)
        kind = command.lower()
        before = at
        if kind == "z":
            at = start
            yield "close", ()
        elif kind in "mlhv":
            x = at[0] if kind == "v" else ox + numbers[0]
            y = at[1] if kind == "h" else oy + numbers[-1]
            at = (x, y)
            start = at if kind == "m" else start
            yield ("move" if kind == "m" else "line"), at
        elif kind == "a":
            at = (ox + numbers[5], oy + numbers[6])
            yield from _turn(before, numbers, at)
        else:
            points = [(ox + numbers[i], oy + numbers[i + 1]) for i in range(0, len(numbers), 2)]
            if kind == "s":
                points = [(2 * at[0] - control[0], 2 * at[1] - control[1]), *points]
            at = points[2]
            yield "curve", (*points[0], *points[1], *points[2])
            control = points[1]
        control = control if kind in "cs" else at


def _commands(tokens: list[str]) -> Iterator[tuple[str, list[float]]]:
    """Commands with their numbers; further numbers repeat a command, after a move as lines."""
    command, place = "", 0
    while place < len(tokens):
        if tokens[place].isalpha():
            command, place = tokens[place], place + 1
        count = _NUMBERS[command.lower()]
        yield command, [float(token) for token in tokens[place : place + count]]
        place += count
        command = {"m": "l", "M": "L"}.get(command, command)


def _turn(start: Point, numbers: list[float], end: Point) -> Iterator[Step]:
    rx, ry, tilt, large, sweep = numbers[:5]
    if tilt:
        raise ValueError("pictograms: a tilted arc is not understood")
    yield from _arc(start, rx, ry, bool(sweep), end, large=bool(large))


def _arc(
    start: Point, rx: float, ry: float, sweep: bool, end: Point, *, large: bool = False
) -> Iterator[Step]:
    """An arc of an upright ellipse as curves of at most a quarter turn.

    Source: SVG 1.1, appendix F.6.5, conversion from endpoints to center.
    """
    x, y = (start[0] - end[0]) / 2 / rx, (start[1] - end[1]) / 2 / ry
    half = math.hypot(x, y)
    grow = max(1.0, half)
    rx, ry, x, y, half = rx * grow, ry * grow, x / grow, y / grow, half / grow
    reach = math.sqrt(max(0.0, 1 - half * half)) / half
    reach = -reach if large == sweep else reach
    cx, cy = reach * y, -reach * x
    first = math.atan2(y - cy, x - cx)
    last = math.atan2(-y - cy, -x - cx)
    turn = (last - first) % (2 * math.pi) if sweep else -((first - last) % (2 * math.pi))
    middle = ((start[0] + end[0]) / 2 + cx * rx, (start[1] + end[1]) / 2 + cy * ry)
    count = max(1, math.ceil(abs(turn) / (math.pi / 2) - 1e-9))
    part = turn / count
    pull = _ARC_AS_CURVE * math.tan(part / 4)
    for number in range(count):
        a, b = first + number * part, first + (number + 1) * part
        yield (
            "curve",
            (
                middle[0] + rx * (math.cos(a) - pull * math.sin(a)),
                middle[1] + ry * (math.sin(a) + pull * math.cos(a)),
                middle[0] + rx * (math.cos(b) + pull * math.sin(b)),
                middle[1] + ry * (math.sin(b) - pull * math.cos(b)),
                middle[0] + rx * math.cos(b),
                middle[1] + ry * math.sin(b),
            ),
        )
