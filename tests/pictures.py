"""``python -m tests.pictures``: draws the README's pictures again, each under 150 KB, into ``.readme/``.

One function a picture, listed in ``PICTURES``; give names to draw only some. Sheets are printed by the
program itself and rendered by Poppler's pdftoppm; pages are served by it and drawn by Chromium.
"""

from __future__ import annotations

import datetime as dt
import io
import logging
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PIL import Image

from library.history.versions import History
from library.paper.job import Job
from library.paper.pdf import as_pdf
from library.paper.sheets import make_sheet
from library.plan.opening import open_plan
from library.room.demo import demo_room
from library.room.rooms import Rooms
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from server import create_app
from server.printing import drawings
from server.settings import load_settings
from tests.browser.places import starter_library

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / ".readme"
UNIT = "leaves-and-wind/2025-fall"
MOST_BYTES = 150_000
DOTS_AN_INCH = 110
PAGE_WIDTH = 1180
FALL = dt.date(2026, 10, 5)
COLORS = 32
"""Enough for ink, rules, one highlighter and the edges of letters."""


def posted_plan() -> Image.Image:
    """The plan for the door."""
    return sheet_picture("posted-plan")


def setup_sheets() -> Image.Image:
    """Two set-up sheets on a page, before they are cut."""
    return sheet_picture("setup-sheets", page=2)


def setup_walk() -> Image.Image:
    """The set-up walk."""
    return sheet_picture("setup-walk")


def shopping_list() -> Image.Image:
    """The shopping list."""
    return sheet_picture("shopping-list")


def family_letter() -> Image.Image:
    """The family letter."""
    return sheet_picture("family-letter")


def shelf_labels() -> Image.Image:
    """A page of shelf labels."""
    return sheet_picture("shelf-labels")


def clone_page() -> Image.Image:
    """Last fall's unit on its way to this fall, before it is saved."""
    with tempfile.TemporaryDirectory() as folder:
        paths = starter_library(Path(folder))
        moment = dt.datetime(2025, 10, 1, 9).timestamp()
        History(paths, lambda: moment).record_outside_changes()
        card = paths.folder / "activities/easel/broom-strokes.md"
        card.write_text(card.read_text().replace("prep: 10", "prep: 14", 1))
        room = demo_room(FALL)
        closed = frozenset({FALL + dt.timedelta(days=7)})
        Rooms(paths.database).save(replace(room, closed=closed))
        return page_picture(paths, f"/units/{UNIT}/clone?starts={FALL}", height=880)


PICTURES: dict[str, Callable[[], Image.Image]] = {
    "posted-plan": posted_plan,
    "setup-sheets": setup_sheets,
    "setup-walk": setup_walk,
    "shopping-list": shopping_list,
    "family-letter": family_letter,
    "shelf-labels": shelf_labels,
    "clone-page": clone_page,
}
"""Name of the file → what draws it."""


def sheet_picture(name: str, page: int = 1) -> Image.Image:
    """A page of a printed sheet of the example unit in the example room."""
    paths = LibraryPaths(ROOT, ROOT / "nowhere")
    unit = UnitFolder(paths).read(UNIT).unit
    job = Job(open_plan(paths, unit, demo_room(unit.starts)), pictograms=drawings())
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "sheet.pdf"
        source.write_bytes(as_pdf(make_sheet(name, job)))
        number = str(page)
        subprocess.run(
            ["pdftoppm", "-r", str(DOTS_AN_INCH), "-png", "-f", number, "-l", number, "-singlefile",
             str(source), str(source.with_suffix(""))],
            check=True,
        )  # fmt: skip
        with Image.open(source.with_suffix(".png")) as image:
            return image.convert("RGB")


def page_picture(paths: LibraryPaths, address: str, *, height: int) -> Image.Image:
    """The upper part of a page of the program over a library."""
    from playwright.sync_api import sync_playwright
    from werkzeug.serving import make_server

    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    app = create_app(load_settings(paths, {}, watch=False))
    app.extensions["lowshelf"].refresh()
    server = make_server("127.0.0.1", 0, app, threaded=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(
                executable_path=shutil.which("chromium"), args=["--no-sandbox"]
            )
            page = browser.new_page(viewport={"width": PAGE_WIDTH, "height": height})
            page.goto(f"http://127.0.0.1:{server.server_port}{address}")
            picture = page.screenshot()
            browser.close()
    finally:
        server.shutdown()
    with Image.open(io.BytesIO(picture)) as image:
        return image.convert("RGB")


def save(image: Image.Image, path: Path) -> int:
    """Writes a picture with few colours; raises if it is too large for the README."""
    path.parent.mkdir(exist_ok=True)
    image.quantize(COLORS, dither=Image.Dither.NONE).save(path, optimize=True)
    size = path.stat().st_size
    if size >= MOST_BYTES:
        raise SystemExit(f"{path.name} has {size:,} bytes; {MOST_BYTES:,} are the most")
    return size


def main() -> None:
    """Draws the pictures that are named, or all of them."""
    for name in sys.argv[1:] or PICTURES:
        size = save(PICTURES[name](), FOLDER / f"{name}.png")
        sys.stdout.write(f".readme/{name}.png {size:,} bytes\n")


if __name__ == "__main__":
    main()
