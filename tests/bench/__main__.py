"""``python -m tests.bench``: measures search beside other engines, and the life of an index.

Prints tables and writes ``bench.json`` and ``bench.md`` to the folder given by ``--out``.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from library.cards.folder import CardFolder
from library.search.index import SearchIndex
from library.store.paths import LibraryPaths
from tests.bench.cards import write_library
from tests.bench.engines.by_itself import Fts5, Ripgrep, Tantivy, Whoosh, has_ripgrep
from tests.bench.engines.common import Engine, Shelf
from tests.bench.engines.lowshelf import Lowshelf, Unread
from tests.bench.engines.with_numpy import Bm25sWithNumpy, Fts5WithNumpy, TantivyWithNumpy
from tests.bench.life import measure_life
from tests.bench.questions import KINDS, questions
from tests.bench.timing import Times, median, percentile, time_engines

LARGEST_FOR_WHOOSH = 10_000
"""Cards; above, Whoosh as in its manual takes many minutes to build."""


def main() -> None:
    """Measures and reports."""
    options = _options()
    out = Path(options.out)
    out.mkdir(parents=True, exist_ok=True)
    report: dict[str, Any] = {"machine": machine(), "sizes": {}}
    say: list[str] = [f"Measured on {report['machine']}.", ""]
    for size in options.sizes:
        with tempfile.TemporaryDirectory() as folder:
            found = measure(size, Path(folder), options)
        report["sizes"][str(size)] = found
        say += tables(size, found)
    text = "\n".join(say)
    print(text)
    (out / "bench.md").write_text(text, encoding="utf-8")
    (out / "bench.json").write_text(json.dumps(report, indent=1), encoding="utf-8")


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--sizes", type=_sizes, default=None, help="such as 1000,10000")
    parser.add_argument("--rounds", type=int, default=None, help="how often each question is asked")
    parser.add_argument("--quick", action="store_true", help="1,000 cards; under two minutes")
    parser.add_argument("--alone", action="store_true", help="without other engines")
    parser.add_argument("--out", default=".", help="folder for bench.json and bench.md")
    options = parser.parse_args()
    options.sizes = options.sizes or ([1_000] if options.quick else [1_000, 10_000, 100_000])
    options.rounds = options.rounds or (3 if options.quick else 7)
    return options


def _sizes(text: str) -> list[int]:
    return [int(part) for part in text.split(",")]


def machine() -> str:
    """The machine in one line."""
    model = platform.processor() or platform.machine()
    cpus = Path("/proc/cpuinfo")
    if cpus.exists():
        names = [line for line in cpus.read_text().splitlines() if line.startswith("model name")]
        model = names[0].partition(":")[2].strip() if names else model
    return f"{model}, {os.cpu_count()} cores, Python {platform.python_version()}, {sys.platform}"


def measure(size: int, folder: Path, options: argparse.Namespace) -> dict[str, Any]:
    """Everything for one size."""
    library, data = folder / "library", folder / "data"
    write_library(library, size)
    tell(f"{size:,} cards: the life of an index")
    found: dict[str, Any] = {"life": measure_life(library, data)}
    paths = LibraryPaths(library, data)
    index = SearchIndex(paths, CardFolder(paths))
    index.rebuild()
    cards = {card.id: card for card in CardFolder(paths).read_all()[0]}
    arrays = index.view.parts[0].arrays
    shelf = Shelf([cards[name] for name in arrays.ids], index.view, folder, library)
    asks = questions(arrays)
    engines: list[Engine] = []
    for make in engines_for(size, alone=options.alone):
        began = time.perf_counter()
        engines.append(make(shelf))
        tell(f"{size:,} cards: {engines[-1].name} filled in {time.perf_counter() - began:.1f} s")
    times = time_engines(engines, asks, rounds=options.rounds)
    found["about"] = {engine.name: engine.about for engine in engines}
    found["times"] = {each.name: summary(each) for each in times}
    return found


def tell(line: str) -> None:
    """Says on the error output what is going on."""
    print(line, file=sys.stderr, flush=True)


def engines_for(size: int, *, alone: bool) -> list[Callable[[Shelf], Engine]]:
    """The engines that are measured with so many cards."""
    ours: list[Callable[[Shelf], Engine]] = [Lowshelf, Unread]
    if alone:
        return ours
    others: list[Callable[[Shelf], Engine]] = [
        TantivyWithNumpy, Tantivy, Fts5WithNumpy, Fts5, Bm25sWithNumpy,
    ]  # fmt: skip
    if size <= LARGEST_FOR_WHOOSH:
        others.append(Whoosh)
    if has_ripgrep():
        others.append(Ripgrep)
    return [*ours, *others]


def summary(times: Times) -> dict[str, Any]:
    """Median and 95th percentile in milliseconds, over all and by kind."""
    kinds = {kind: times.by_kind[kind] for kind in KINDS if times.by_kind.get(kind)}
    return {
        "median": median(times.all),
        "95th": percentile(times.all),
        "kinds": {k: {"median": median(t), "95th": percentile(t)} for k, t in kinds.items()},
    }


def tables(size: int, found: dict[str, Any]) -> list[str]:
    """The tables of one size, in Markdown."""
    life = [(name, f"{value:,.2f}") for name, value in found["life"].items()]
    ours = found["times"][Lowshelf.name]
    rows = [
        (
            name,
            f"{each['median']:.2f}",
            f"{each['95th']:.2f}",
            f"{each['median'] / ours['median']:.1f}",
            f"{each['95th'] / ours['95th']:.1f}",
            found["about"][name],
        )
        for name, each in found["times"].items()
    ]
    kinds = [
        (
            name,
            *(f"{each['kinds'][k]['median']:.2f} / {each['kinds'][k]['95th']:.2f}" for k in KINDS),
        )
        for name, each in found["times"].items()
    ]
    return [
        f"## {size:,} cards", "",
        *table(("what", "measured"), life), "",
        *table(("engine", "median, ms", "95th, ms", "× median", "× 95th", "how"), rows), "",
        *table(("median / 95th, ms", *KINDS), kinds), "",
    ]  # fmt: skip


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return [f"| {' | '.join(line)} |" for line in lines]


if __name__ == "__main__":
    main()
