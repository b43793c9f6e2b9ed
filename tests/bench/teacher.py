"""What a teacher waits for besides search: the plan, a swap, supplies, prep, a clone, paper, the first word.

All of it runs on a copy of the starter library in the example room.
"""

from __future__ import annotations

import datetime as dt
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import cycle
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

from library.paper.pdf import as_pdf
from library.paper.sheets import SHEETS, make_sheet
from library.prep.prep import plan_prep
from library.room.demo import demo_room
from library.room.rooms import Rooms
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from library.units.parsing import write_unit
from library.units.unit import Placement, Unit
from server import create_app
from server.printing import Wishes, print_job
from server.settings import load_settings
from server.unitpage import unit_page
from tests.bench.prep import shipped_units
from tests.bench.supplies import a_year, reckoned
from tests.bench.timing import median
from tests.browser.places import starter_library
from tests.shelf import cards

PLACEMENTS = 40
MONDAY = dt.date(2026, 10, 5)
UNIT = "leaves-and-wind/bench"
OLD = "leaves-and-wind/2025-fall"
TIMES = 9


def measure_teacher() -> dict[str, float]:
    """Milliseconds and seconds of everything here."""
    with tempfile.TemporaryDirectory() as folder:
        paths = starter_library(Path(folder))
        Rooms(paths.database).load_demo(MONDAY)
        write_unit_of_40(paths)
        app = create_app(load_settings(paths, {}, watch=False))
        app.extensions["lowshelf"].refresh()
        client = app.test_client()
        with app.test_request_context("/"):
            first = _ms(lambda: unit_page(UNIT))
        return {
            "unit page of 40 placements worked out the first time, ms": first,
            **_plan(app, client, paths),
            **_clone(client),
            **_paper(paths),
            **_prep(),
            "supplies of a year, s": _seconds(
                lambda: [reckoned(u, demo_room(MONDAY)) for u in a_year()]
            ),
            **_words(),
        }


def write_unit_of_40(paths: LibraryPaths) -> None:
    """Two weeks with cards of every center."""
    chosen = cards()[:: max(1, len(cards()) // PLACEMENTS)][:PLACEMENTS]
    placements = tuple(Placement(card.centers[0], card.id) for card in chosen)
    unit = Unit("leaves-and-wind", "bench", "Bench", MONDAY, 2, placements)
    (paths.themes / f"{UNIT}.md").write_text(write_unit(unit), encoding="utf-8")


def _plan(app: Any, client: FlaskClient, paths: LibraryPaths) -> dict[str, float]:
    """The page after each of several swaps at different places, then again with nothing changed."""
    swaps = iter(cycle(cards()[1::3]))
    after, pages = [], []
    with app.test_request_context("/"):
        again = median([_ms(lambda: unit_page(UNIT)) for _ in range(TIMES)])
    for row in range(0, TIMES * 4, 4):
        swap(paths, row, next(swaps).id)
        with app.test_request_context("/"):
            after.append(_ms(lambda: unit_page(UNIT)))
        pages.append(_ms(lambda: _get(client, f"/units/{UNIT}")))
    return {
        "a plan opened again, ms": again,
        "a swap worked out again, ms": median(after),
        "plan page of 40 placements, ms": median(pages),
    }


def swap(paths: LibraryPaths, row: int, card: str) -> None:
    """Another card at one place of the unit's file."""
    file = paths.themes / f"{UNIT}.md"
    unit = UnitFolder(paths).read(UNIT).unit
    gone = unit.placements[row].activity
    text = file.read_text(encoding="utf-8")
    file.write_text(
        re.sub(rf"activity: {gone}\b", f"activity: {card}", text, count=1), encoding="utf-8"
    )


def _clone(client: FlaskClient) -> dict[str, float]:
    address = f"/units/{OLD}/clone?starts=2026-10-05&to=leaves-and-wind"
    times = [_ms(lambda: _get(client, address)) for _ in range(TIMES)]
    return {"clone preview the first time, ms": times[0], "clone preview, ms": median(times[1:])}


def _paper(paths: LibraryPaths) -> dict[str, float]:
    """Every sheet of a shipped unit as a PDF, one after another."""
    settings, room = load_settings(paths, {}, watch=False), demo_room(MONDAY)
    began = time.perf_counter()
    job = print_job(settings, OLD, room, Wishes(), MONDAY)
    times = {name: _seconds(lambda n=name: as_pdf(make_sheet(n, job))) for name in SHEETS}
    whole = time.perf_counter() - began
    return {"a full set of PDFs, s": whole, "the slowest PDF, s": max(times.values())}


def _prep() -> dict[str, float]:
    """The schedule of each shipped unit in the example room; every one has to be proven best."""
    room, times = demo_room(MONDAY), []
    for unit, placed in shipped_units():
        began = time.perf_counter()
        prep = plan_prep(unit, placed, room)
        times.append(time.perf_counter() - began)
        if not prep.proof.proven:
            raise RuntimeError(f"the plan of {unit.id} is not proven best")
    return {
        "prep of a shipped unit, s": median(times),
        "prep of the slowest shipped unit, s": max(times),
    }


def _words() -> dict[str, float]:
    """A process that does nothing but begin, and one that tells what it can do."""
    bare = [_seconds(lambda: _run("-c", "pass")) for _ in range(5)]
    imports = [_seconds(lambda: _run("-c", "import library")) for _ in range(5)]
    helps = [_seconds(lambda: _run("-m", "server", "--help")) for _ in range(5)]
    return {
        "python alone, s": median(bare),
        "import library, s": median(imports),
        "lowshelf --help, s": median(helps),
    }


def _run(*arguments: str) -> None:
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)


def _get(client: FlaskClient, address: str) -> None:
    answer = client.get(address)
    if answer.status_code != 200:
        raise RuntimeError(f"{address}: {answer.status}")


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _ms(work: Callable[[], object]) -> float:
    return _seconds(work) * 1000
