"""The life of an index: first start, next start, a save, changes from outside, memory.

Each step runs in a process of its own, as a program that is started does; run as a module it does one
step and prints what it measured as JSON.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import psutil

from library.cards.folder import CardFolder
from library.search.conditions import Conditions
from library.search.index import SearchIndex
from library.search.lexicon import vocabulary_of
from library.search.question import read_question
from library.search.searching import SearchResult, search
from library.search.vocabulary import Vocabulary
from library.store.paths import LibraryPaths

SAVES = 15
CHANGED = 100
BEGAN = "LOWSHELF_BENCH_BEGAN"
"""Variable with the clock at which a step's process was started."""


def measure_life(library: Path, data: Path) -> dict[str, float]:
    """All steps over one library, seconds and megabytes."""
    found: dict[str, float] = {}
    for step in STEPS:
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench.life", step, str(library), str(data)],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, BEGAN: str(time.time())},
        )
        found |= json.loads(done.stdout)
    return found


def first_start(paths: LibraryPaths) -> dict[str, float]:
    """Everything is read and indexed; the first cards can be found while it goes on."""
    index = SearchIndex(paths, CardFolder(paths))
    began, first = time.perf_counter(), [0.0]

    def progress(done: int, total: int) -> None:
        if index.view.cards and not first[0]:
            first[0] = time.perf_counter() - began

    index.refresh(progress)
    took = time.perf_counter() - began
    return {
        "first start, s": took,
        "first start, first cards found, s": first[0] or took,
        "first start, most memory, MB": _most_memory(),
        "index on disk, MB": sum(p.stat().st_size for p in paths.index.rglob("*") if p.is_file())
        / 1e6,
    }


def next_start(paths: LibraryPaths) -> dict[str, float]:
    """Nothing changed: from the start of the process to the first answer, and the memory while serving."""
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    _answer(index, "sponge rain outdoors", vocabulary_of(index.view, {}))
    took = time.time() - float(os.environ[BEGAN])
    for words in ("sponge", "water tray", "lantern", "paint paper", "leaf wind"):
        for typing in (False, True):
            search(index.view, Conditions(prep_max=10), words, typing=typing)
    return {"next start, s": took, "memory while serving, MB": _memory()}


def save(paths: LibraryPaths) -> dict[str, float]:
    """From a file that has been written to the search that finds it, the middle one of fifteen."""
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    known = vocabulary_of(index.view, {})
    files = [f for f in CardFolder(paths).files() if "status: ready" in f.path.read_text("utf-8")]
    took = []
    for number in range(SAVES):
        file = files[number * 7 % len(files)]
        word = "unheardof" + "".join(chr(97 + int(d)) for d in f"{os.getpid()}{number:02}")
        _append(file.path, f"\n\n{word}\n")
        began = time.perf_counter()
        index.refresh_files([file.file])
        known = vocabulary_of(index.view, {}, known=known)
        assert _answer(index, word, known).total == 1
        took.append(time.perf_counter() - began)
    return {"save until found, ms": sorted(took)[SAVES // 2] * 1000}


def changes(paths: LibraryPaths) -> dict[str, float]:
    """A hundred files changed by something else."""
    index = SearchIndex(paths, CardFolder(paths))
    index.refresh()
    files = CardFolder(paths).files()
    step = max(1, len(files) // CHANGED)
    for file in files[::step][:CHANGED]:
        _append(file.path, "\n\nA changed line.\n")
    began = time.perf_counter()
    changed = index.refresh()
    took = time.perf_counter() - began
    assert changed.read == min(CHANGED, len(files)), changed.read
    return {"100 files changed, s": took}


def _answer(index: SearchIndex, text: str, names: Vocabulary) -> SearchResult:
    """The answer to a question in plain English, with the names that the cards have by now."""
    question = read_question(text, names)
    return search(index.view, question.conditions, " ".join(question.words))


def _append(path: Path, text: str) -> None:
    with path.open("a", encoding="utf-8") as file:
        file.write(text)


def _memory() -> float:
    return float(psutil.Process().memory_info().rss / 1e6)


def _most_memory() -> float:
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3


STEPS = {"first": first_start, "next": next_start, "save": save, "changes": changes}


def main(arguments: list[str]) -> dict[str, Any]:
    """Does one step."""
    step, library, data = arguments
    return STEPS[step](LibraryPaths(Path(library), Path(data)))


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1:])))
