"""The two pictures of a report: latency by size, and where the time of a search goes."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

INK, SOFT, ACCENT = "#1d2430", "#8a909c", "#2b3fb5"
STYLE = {
    "svg.fonttype": "none",
    "svg.hashsalt": "lowshelf",
    "font.family": "sans-serif",
    "font.size": 11,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
}
MARKERS = "osD^vPX*"
SHADES = ("#2b3fb5", "#5a6bd0", "#8b99e3", "#b9c2f0", "#d9def8", "#eceefb")
LATENCY, STAGES = "bench-latency.svg", "bench-stages.svg"
STEPS = ("read the question", "look words up", "score and filter", "put in order", "count", "show")
"""Stages of a search; building the page around it is another thing."""


def draw(report: dict[str, Any], folder: Path) -> list[Path]:
    """Draws what the report has figures for and returns the files."""
    import matplotlib

    matplotlib.use("svg")
    drawn = []
    with matplotlib.rc_context(STYLE):
        sizes = {int(size): found for size, found in report.get("sizes", {}).items()}
        if any(found.get("times") for found in sizes.values()):
            drawn.append(_latency(sizes, folder / LATENCY))
        if any(found.get("stages") for found in sizes.values()):
            drawn.append(_stages(sizes, folder / STAGES))
    return drawn


def _latency(sizes: dict[int, Any], file: Path) -> Path:
    """A line an engine: median milliseconds of a whole operation, both axes in powers of ten."""
    import matplotlib.pyplot as plt
    from matplotlib.ticker import FuncFormatter, NullLocator

    figure, axes = plt.subplots(figsize=(7.6, 4.6))
    names = dict.fromkeys(name for found in sizes.values() for name in found.get("times", {}))
    lines = {
        name: [
            (size, found["times"][name]["median"])
            for size, found in sorted(sizes.items())
            if name in found.get("times", {})
        ]
        for name in names
        if "read before" not in name
    }
    for number, (name, points) in enumerate(lines.items()):
        ours = name == "Lowshelf"
        axes.plot(
            *zip(*points, strict=True),
            marker=MARKERS[number % len(MARKERS)],
            color=ACCENT if ours else SOFT,
            linewidth=2.6 if ours else 1.2,
        )
    axes.set(xscale="log", yscale="log", xlabel="cards", ylabel="milliseconds, median")
    axes.set_xticks(list(sizes), [f"{size:,}" for size in sizes])
    axes.set_xlim(min(sizes) * 0.7, max(sizes) * 12)
    axes.xaxis.set_minor_locator(NullLocator())
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    _name_lines(axes, {name: points[-1] for name, points in lines.items()})
    axes.set_title("One search: 20 results, snippets, all counts", loc="left", fontsize=12)
    return _saved(figure, file)


def _name_lines(axes: Any, ends: dict[str, tuple[int, float]]) -> None:
    """The name of each line behind its last point, moved up where two would lie on each other."""
    low, high = (math.log10(end) for end in axes.get_ylim())
    gap, last = (high - low) * 0.055, -math.inf
    for name, (size, value) in sorted(ends.items(), key=lambda end: end[1][1]):
        last = max(math.log10(value), last + gap)
        color = ACCENT if name == "Lowshelf" else INK
        axes.text(size * 1.15, 10**last, name, va="center", color=color, fontsize=10)


def _stages(sizes: dict[int, Any], file: Path) -> Path:
    """A bar a size, divided into the stages of a search."""
    import matplotlib.pyplot as plt

    rows = {
        size: {stage: took for stage, took in found["stages"].items() if stage in STEPS}
        for size, found in sorted(sizes.items())
        if found.get("stages")
    }
    figure, axes = plt.subplots(figsize=(7.6, 0.7 * len(rows) + 1.7))
    stages = next(iter(rows.values()))
    left = [0.0] * len(rows)
    labels = [f"{size:,} cards" for size in rows]
    for number, stage in enumerate(stages):
        shares = [row[stage] / sum(row.values()) * 100 for row in rows.values()]
        bars = axes.barh(labels, shares, left=left, color=SHADES[number % len(SHADES)],
                         edgecolor="white", label=stage)  # fmt: skip
        axes.bar_label(bars, [f"{s:.0f}" if s >= 5 else "" for s in shares], label_type="center",
                       color="white" if number < 2 else INK, fontsize=10)  # fmt: skip
        left = [before + share for before, share in zip(left, shares, strict=True)]
    axes.set(xlabel="share of the time of one search, %", xlim=(0, 100))
    axes.invert_yaxis()
    axes.legend(ncols=3, loc="lower left", bbox_to_anchor=(0, 1.0), frameon=False, fontsize=10)
    return _saved(figure, file)


def _saved(figure: Any, file: Path) -> Path:
    import matplotlib.pyplot as plt

    figure.savefig(file, bbox_inches="tight", metadata={"Date": None})
    plt.close(figure)
    return file
