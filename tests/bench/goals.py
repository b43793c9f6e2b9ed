"""What was aimed at, and whether a run reached it. A goal that is missed is printed as missed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

LOWSHELF = "Lowshelf"
SMALL, MIDDLE, LARGE = "1000", "10000", "100000"
TIMES_FASTER = (
    ("tantivy", 3.0, 5.0),
    ("tantivy + our numpy", 3.0, 5.0),
    ("SQLite FTS5", 10.0, None),
    ("SQLite FTS5 + our numpy", 3.0, None),
)
"""Engine, and how many times as fast the median and the 95th are to be."""


@dataclass(frozen=True, slots=True)
class Goal:
    """One line of the table of goals."""

    what: str
    goal: str
    measured: str
    reached: bool | None
    """None: there was no goal, or nothing was measured."""

    @property
    def verdict(self) -> str:
        """The last cell of its line."""
        return {True: "reached", False: "**missed**", None: "–"}[self.reached]


def goals(report: dict[str, Any]) -> list[Goal]:
    """Every goal of which the report knows something, in a fixed order."""
    return [*_search(report), *_growth(report), *_kinds(report), *_pages(report), *_life(report),
            *_teacher(report)]  # fmt: skip


def _search(report: dict[str, Any]) -> Iterator[Goal]:
    for size in (MIDDLE, LARGE):
        times = report.get("sizes", {}).get(size, {}).get("times", {})
        ours = times.get(LOWSHELF)
        for name, faster, at_worst in TIMES_FASTER:
            other = times.get(name)
            if not ours or not other:
                continue
            for key, least in (("median", faster), ("95th", at_worst)):
                if least is not None:
                    ratio = other[key] / ours[key]
                    yield Goal(
                        f"search, {int(size):,} cards, {key} against {name}",
                        f"≥ {least:g} × faster",
                        f"{ours[key]:.2f} ms, {ratio:.1f} ×",
                        ratio >= least,
                    )


def _growth(report: dict[str, Any]) -> Iterator[Goal]:
    sizes = report.get("sizes", {})
    if {MIDDLE, LARGE} <= set(sizes) and all(sizes[s].get("times") for s in (MIDDLE, LARGE)):
        small, large = (sizes[size]["times"][LOWSHELF]["median"] for size in (MIDDLE, LARGE))
        ratio = large / small
        yield Goal("median from 10,000 to 100,000 cards", "≤ 2 ×", f"{ratio:.2f} ×", ratio <= 2)


def _kinds(report: dict[str, Any]) -> Iterator[Goal]:
    for size, found in report.get("sizes", {}).items():
        kinds = found.get("times", {}).get(LOWSHELF, {}).get("kinds", {})
        for kind in ("as you type", "typo"):
            if kind in kinds and "topical" in kinds and size != SMALL:
                ratio = kinds[kind]["95th"] / kinds["topical"]["median"]
                yield Goal(
                    f"{kind}, 95th against the topical median, {int(size):,} cards",
                    "≤ 2 ×",
                    f"{kinds[kind]['95th']:.2f} ms, {ratio:.1f} ×",
                    ratio <= 2,
                )


def _pages(report: dict[str, Any]) -> Iterator[Goal]:
    pages = report.get("pages", {})
    if not {LOWSHELF, "Datasette"} <= set(pages):
        return
    ours, theirs = pages[LOWSHELF], pages["Datasette"]
    ratio = ours["requests a second"] / theirs["requests a second"]
    yield Goal(
        "Find page over HTTP, requests a second against Datasette",
        "≥ 10 ×",
        f"{ours['requests a second']:.0f} and {theirs['requests a second']:.1f}, {ratio:.1f} ×",
        ratio >= 10,
    )
    for key, who in (
        ("95th of 8 clients, ms", "8 clients that never pause"),
        ("95th of 8 who pause, ms", "8 clients that pause half a second"),
    ):
        ratio = ours[key] / ours["median of one client, ms"]
        yield Goal(
            f"Find page, 95th of {who}, against the median of one",
            "≤ 3 ×",
            f"{ours[key]:.0f} ms, {ratio:.1f} ×",
            ratio <= 3,
        )


def _life(report: dict[str, Any]) -> Iterator[Goal]:
    sizes = report.get("sizes", {})
    middle = sizes.get(MIDDLE, {}).get("life", {})
    built = sizes.get(MIDDLE, {}).get("filled", {}).get("Whoosh")
    if middle and built:
        ratio = middle["first start, s"] / built
        yield Goal(
            "first start from 10,000 files against Whoosh filled with the cards already read",
            "≤ 0.6 ×",
            f"{middle['first start, s']:.1f} s, {ratio:.2f} ×",
            ratio <= 0.6,
        )
    rows = (
        (MIDDLE, "next start, s", 1.0, "next start, nothing changed, 10,000 cards"),
        (LARGE, "next start, s", 3.0, "next start, nothing changed, 100,000 cards"),
        (MIDDLE, "100 files changed, s", 2.0, "100 of 10,000 files changed outside"),
        (LARGE, "100 files changed, s", None, "100 of 100,000 files changed outside"),
        (MIDDLE, "save until found, ms", 50.0, "a save is in the next search, 10,000 cards"),
        (LARGE, "save until found, ms", None, "a save is in the next search, 100,000 cards"),
        (MIDDLE, "memory while serving, MB", 150.0, "memory at 10,000 cards"),
        (LARGE, "memory while serving, MB", 500.0, "memory at 100,000 cards"),
    )
    for size, key, most, what in rows:
        if size in sizes:
            yield _under(sizes[size].get("life", {}), key, most, what)


def _teacher(report: dict[str, Any]) -> Iterator[Goal]:
    found = {**report.get("teacher", {}), **report.get("cautions", {})}
    if not found:
        return
    for key, most, what in (
        ("a plan opened again, ms", 60.0, "plan of 40 placements: totals, findings, supplies"),
        (
            "unit page of 40 placements worked out the first time, ms",
            None,
            "the same, the very first time after a start",
        ),
        ("a swap worked out again, ms", 25.0, "a swap in it"),
        ("prep of the slowest shipped unit, s", 1.0, "prep of a two-week unit, proven best"),
        ("supplies of a year, s", 2.0, "supplies of a year of units"),
        ("clone preview, ms", 200.0, "clone preview"),
        ("clone preview the first time, ms", None, "the same, the very first time after a start"),
        ("import library, s", 0.25, "import library"),
        ("lowshelf --help, s", 0.25, "lowshelf --help"),
        ("a full set of PDFs, s", 6.0, "a full set of a unit's PDFs"),
        ("all checks of 40 placements again, ms", None, "all checks of 40 placements"),
        ("all checks of 10,000 cards, s", None, "all checks of 10,000 cards"),
    ):
        yield _under(found, key, most, what)


def _under(found: dict[str, float], key: str, most: float | None, what: str) -> Goal:
    """A goal that something stays below; said to be unmeasured where its part failed."""
    unit = key.rsplit(", ", 1)[1]
    goal = "reported" if most is None else f"≤ {most:.3g} {unit}"
    if key not in found:
        return Goal(what, goal, "not measured", None)
    reached = None if most is None else found[key] <= most
    return Goal(what, goal, f"{found[key]:.3g} {unit}", reached)
