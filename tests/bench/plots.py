"""The two pictures of a report: latency by size, and where the time of a search goes."""

from __future__ import annotations

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

    figure, axes = plt.subplots(figsize=(7.6, 4.6))
    names = dict.fromkeys(name for found in sizes.values() for name in found.get("times", {}))
    for number, name in enumerate(each for each in names if "read before" not in each):
        points = [
            (size, found["times"][name]["median"])
            for size, found in sorted(sizes.items())
            if name in found.get("times", {})
        ]
        ours = name == "Lowshelf"
        axes.plot(
            *zip(*points, strict=True),
            marker=MARKERS[number % len(MARKERS)],
            color=ACCENT if ours else SOFT,
            linewidth=2.6 if ours else 1.2,
        )
        axes.annotate(name, points[-1], xytext=(8, 0), textcoords="offset points", va="center",
                      color=ACCENT if ours else INK, fontsize=10)  # fmt: skip
    axes.set(xscale="log", yscale="log", xlabel="cards", ylabel="milliseconds, median")
    axes.set_xlim(right=max(sizes) * 8)
    axes.set_title("One search: 20 results, snippets, all counts", loc="left", fontsize=12)
    return _saved(figure, file)


def _stages(sizes: dict[int, Any], file: Path) -> Path:
    """A bar a size, divided into the stages of a search."""
    import matplotlib.pyplot as plt

    rows = {size: found["stages"] for size, found in sorted(sizes.items()) if found.get("stages")}
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
