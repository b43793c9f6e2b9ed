"""``python -m tests.bench.readme BENCH.JSON``: puts what was measured into the README.

The figures are kept beside the README's pictures, so that its table can be made again from them.
"""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path
from typing import Any

from tests.bench.goals import goals

FOLDER = Path(__file__).parents[2] / ".readme"
MEASURED = FOLDER / "bench.json"


def bench_table(report: dict[str, Any] | None = None) -> str:
    """The goals as the README has them, with the machine below."""
    report = report or json.loads(MEASURED.read_text(encoding="utf-8"))
    rows = [f"| {g.what} | {g.goal} | {g.measured} | {g.verdict} |" for g in goals(report)]
    head = ["| what | goal | measured | |", "|---|---|---|---|"]
    return "\n".join([*head, *rows, "", f"Measured on {report['machine']}."])


def main(measured: str) -> None:
    """Copies the figures, draws the pictures and writes the table."""
    from tests.bench import plots
    from tests.docs import write_all

    if Path(measured).resolve() != MEASURED:
        shutil.copyfile(measured, MEASURED)
    plots.draw(json.loads(MEASURED.read_text(encoding="utf-8")), FOLDER)
    write_all()


if __name__ == "__main__":
    main(sys.argv[1])
