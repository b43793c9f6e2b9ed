"""``python -m tests.bench.paper``: every sheet of a unit with at least 14 changed centers.

Prints seconds for the first page and for the whole file, pages, and bytes, on each paper.
"""

from __future__ import annotations

import time

from library.paper.job import Job
from library.paper.pdf import as_pdf
from library.paper.sheet import PAPERS, Sheet
from library.paper.sheets import SHEETS, make_sheet
from library.paper.text import _broken
from tests.library.paper.samples import a_job, a_plan


def main() -> None:
    """Measures each sheet in a process that has just started, so that nothing is remembered."""
    plan = a_plan()
    changed = len({placed.center for placed in plan.placed if placed.card})
    print(f"{len(plan.placed)} placements, {changed} centers with an activity")
    print(
        f"{'sheet':<18}{'paper':<8}{'laid out':>10}{'first page':>12}{'whole PDF':>11}{'pages':>7}{'bytes':>9}"
    )
    for paper in PAPERS.values():
        job = a_job(plan, paper=paper)
        for name in SHEETS:
            print(row(name, job))


def row(name: str, job: Job) -> str:
    """One sheet: laying it out, its first page as a PDF, and all of it."""
    _broken.cache_clear()
    start = time.perf_counter()
    sheet = make_sheet(name, job)
    laid = time.perf_counter()
    first = Sheet(sheet.name, sheet.title, sheet.audience, sheet.pages[:1])
    as_pdf(first)
    page = time.perf_counter()
    content = as_pdf(sheet)
    end = time.perf_counter()
    seconds = laid - start, page - start, laid - start + end - page
    times = f"{seconds[0]:>9.2f}s{seconds[1]:>11.2f}s{seconds[2]:>10.2f}s"
    return f"{name:<18}{job.paper.name:<8}{times}{len(sheet.pages):>7}{len(content):>9}"


if __name__ == "__main__":
    main()
