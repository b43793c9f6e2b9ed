"""``python -m tests.bench``: measures Lowshelf beside other engines, and what a teacher waits for.

Everything that is compared is measured in one run, turn and turn about, so that the ratios count and
not the machine. Writes ``bench.json``, ``bench.md`` and two pictures to the folder given by ``--out``,
again after each part, so that a run that is cut short keeps what it has. A part that fails is named,
the others go on, and the run ends with 1.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from library.cards.folder import CardFolder
from library.search.index import SearchIndex
from library.store.paths import LibraryPaths
from tests.bench import plots
from tests.bench.cards import write_library
from tests.bench.cautions import measure_cautions
from tests.bench.engines.by_itself import Fts5, Ripgrep, Tantivy, Whoosh, has_ripgrep
from tests.bench.engines.common import Ask, Engine, Shelf
from tests.bench.engines.lowshelf import Lowshelf, Unread
from tests.bench.engines.with_numpy import Bm25sWithNumpy, Fts5WithNumpy, TantivyWithNumpy
from tests.bench.goals import goals
from tests.bench.life import measure_life
from tests.bench.page import measure_pages
from tests.bench.questions import KINDS, questions
from tests.bench.stages import measure_stages
from tests.bench.teacher import measure_teacher
from tests.bench.timing import Times, median, percentile, time_engines

LARGEST_FOR_WHOOSH = 10_000
"""Cards; above, Whoosh as in its manual takes many minutes to build."""
PAGES_AT = 10_000
"""Cards that are served as pages."""
Report = dict[str, Any]


class Run:
    """A report that is written again after each part."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options, self.out = options, Path(options.out)
        self.out.mkdir(parents=True, exist_ok=True)
        self.report: Report = {"machine": machine(), "sizes": {}, "failed": []}

    def part(self, name: str, into: Report, key: str, work: Callable[[], Any]) -> None:
        """Does one part of the work and writes down what is known by then."""
        began = time.perf_counter()
        try:
            into[key] = work()
            tell(f"{name}: {time.perf_counter() - began:.1f} s")
        except Exception:
            self.report["failed"].append(name)
            tell(f"{name} failed:\n{traceback.format_exc()}")
        write(self.report, self.out)


def main() -> int:
    """Measures and reports."""
    options = _options()
    if options.report:
        write(json.loads(Path(options.report).read_text(encoding="utf-8")), Path(options.out))
        return 0
    run = Run(options)
    if not options.quick:
        run.part("what a teacher waits for", run.report, "teacher", measure_teacher)
        run.part("cautions", run.report, "cautions", measure_cautions)
    for size in options.sizes:
        with tempfile.TemporaryDirectory() as folder:
            measure(run, size, Path(folder))
    if options.quick:
        run.part("what a teacher waits for", run.report, "teacher", measure_teacher)
    write(run.report, run.out)
    print((run.out / "bench.md").read_text(encoding="utf-8"))
    return 1 if run.report["failed"] else 0


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--sizes", type=_sizes, default=None, help="such as 1000,10000")
    parser.add_argument("--rounds", type=int, default=None, help="how often each question is asked")
    parser.add_argument("--quick", action="store_true", help="1,000 cards; under two minutes")
    parser.add_argument("--alone", action="store_true", help="without other engines")
    parser.add_argument("--out", default=".bench", help="folder for what is measured")
    parser.add_argument("--report", help="a bench.json to make the tables and pictures of again")
    options = parser.parse_args()
    options.sizes = options.sizes or ([1_000] if options.quick else [1_000, 10_000, 100_000])
    options.rounds = options.rounds or (3 if options.quick else 15)
    options.patience = 1.0 if options.quick else 10.0
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


def measure(run: Run, size: int, folder: Path) -> None:
    """Everything for one size."""
    library, data = folder / "library", folder / "data"
    write_library(library, size)
    found: Report = {}
    run.report["sizes"][str(size)] = found
    name = f"{size:,} cards"
    run.part(f"{name}: the life of an index", found, "life", lambda: measure_life(library, data))
    paths = LibraryPaths(library, data)
    held: dict[str, tuple[Shelf, list[Ask]]] = {}
    run.part(f"{name}: an index without changes", held, "cards", lambda: filled(paths, folder))
    if "cards" not in held:
        return
    shelf, asks = held["cards"]
    rounds = run.options.rounds
    run.part(f"{name}: stages", found, "stages",
             lambda: measure_stages(paths, shelf.view, asks, rounds))  # fmt: skip
    run.part(f"{name}: engines", found, "times", lambda: engines(run, found, shelf, asks))
    if size == PAGES_AT and not run.options.alone:
        run.part("pages over HTTP", run.report, "pages",
                 lambda: measure_pages(library, data, shelf.cards, asks, 12.0))  # fmt: skip


def filled(paths: LibraryPaths, folder: Path) -> tuple[Shelf, list[Ask]]:
    """The cards in the order of a freshly made index, and the questions about them."""
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    index.rebuild()
    cards = {card.id: card for card in CardFolder(paths).read_all()[0]}
    arrays = index.view.parts[0].arrays
    shelf = Shelf([cards[name] for name in arrays.ids], index.view, folder, paths.folder)
    return shelf, questions(arrays)


def engines(run: Run, found: Report, shelf: Shelf, asks: Sequence[Ask]) -> Report:
    """Fills the engines one after another and asks them turn and turn about."""
    filled: dict[str, float] = {}
    there: list[Engine] = []
    for make in engines_for(len(shelf.cards), alone=run.options.alone):
        began = time.perf_counter()
        there.append(make(shelf))
        filled[there[-1].name] = time.perf_counter() - began
    found["filled"] = filled
    found["about"] = {engine.name: engine.about for engine in there}
    times = time_engines(there, asks, rounds=run.options.rounds, patience=run.options.patience)
    return {each.name: summary(each) for each in times if each.all}


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


def summary(times: Times) -> Report:
    """Median and 95th percentile in milliseconds, over all and by kind."""
    kinds = {kind: times.by_kind[kind] for kind in KINDS if times.by_kind.get(kind)}
    return {
        "median": median(times.all),
        "95th": percentile(times.all),
        "given up": times.given_up,
        "kinds": {k: {"median": median(t), "95th": percentile(t)} for k, t in kinds.items()},
    }


def write(report: Report, folder: Path) -> None:
    """``bench.json``, ``bench.md`` and the pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "bench.json").write_text(json.dumps(report, indent=1), encoding="utf-8")
    (folder / "bench.md").write_text("\n".join(_whole(report)) + "\n", encoding="utf-8")
    plots.draw(report, folder)


def _whole(report: Report) -> list[str]:
    lines = [f"Measured on {report['machine']}.", ""]
    reached = [(g.what, g.goal, g.measured, g.verdict) for g in goals(report)]
    lines += [*table(("what", "goal", "measured", ""), reached), ""]
    for size, found in report["sizes"].items():
        lines += tables(int(size), found)
    for name in ("pages", "teacher", "cautions"):
        if report.get(name):
            lines += [f"## {name.capitalize()}", "", *_nested(report[name]), ""]
    lines += [f"Failed: {name}" for name in report["failed"]]
    return lines


def _nested(found: Report) -> list[str]:
    """Figures by name, or by name and column."""
    first = next(iter(found.values()))
    if not isinstance(first, dict):
        return table(
            ("what", "measured"), ((name, f"{value:,.3g}") for name, value in found.items())
        )
    rows = ((name, *(f"{value:,.1f}" for value in each.values())) for name, each in found.items())
    return table(("", *first), rows)


def tables(size: int, found: Report) -> list[str]:
    """The tables of one size, in Markdown."""
    lines = [f"## {size:,} cards", ""]
    if found.get("life"):
        rows = ((name, f"{value:,.2f}") for name, value in found["life"].items())
        lines += [*table(("what", "measured"), rows), ""]
    if found.get("times"):
        lines += [*_engines(found), ""]
        head = ("median / 95th, ms", *KINDS)
        lines += [*table(head, (_kinds(name, each) for name, each in found["times"].items())), ""]
    if found.get("stages"):
        rows = ((name, f"{value:.3f}") for name, value in found["stages"].items())
        lines += [*table(("stage", "median, ms"), rows), ""]
    return lines


def _engines(found: Report) -> list[str]:
    ours = found["times"][Lowshelf.name]
    rows = [
        (
            name,
            f"{each['median']:.2f}",
            f"{each['95th']:.2f}",
            f"{each['median'] / ours['median']:.1f}",
            f"{each['95th'] / ours['95th']:.1f}",
            f"{found['filled'][name]:.1f}",
            found["about"][name] + ("; some questions asked less often" if each["given up"] else ""),
        )
        for name, each in found["times"].items()
    ]  # fmt: skip
    head = ("engine", "median, ms", "95th, ms", "× median", "× 95th", "filled, s", "how")
    return table(head, rows)


def _kinds(name: str, each: Report) -> tuple[str, ...]:
    kinds = (each["kinds"].get(kind) for kind in KINDS)
    return name, *(f"{k['median']:.2f} / {k['95th']:.2f}" if k else "–" for k in kinds)


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return [f"| {' | '.join(line)} |" for line in lines]


if __name__ == "__main__":
    sys.exit(main())
