"""``python -m tests.pictures``: draws the README's pictures again, each under 150 KB, into ``.readme/``.

One function a picture, listed in ``PICTURES``; give names to draw only some. Sheets are printed by the
program itself and rendered by Poppler's pdftoppm.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from PIL import Image

from library.paper.job import Job
from library.paper.pdf import as_pdf
from library.paper.sheets import make_sheet
from library.plan.opening import open_plan
from library.room.demo import demo_room
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from server.printing import drawings

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / ".readme"
UNIT = "leaves-and-wind/2025-fall"
MOST_BYTES = 150_000
DOTS_AN_INCH = 110
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


PICTURES: dict[str, Callable[[], Image.Image]] = {
    "posted-plan": posted_plan,
    "setup-sheets": setup_sheets,
    "setup-walk": setup_walk,
    "shopping-list": shopping_list,
    "family-letter": family_letter,
    "shelf-labels": shelf_labels,
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
