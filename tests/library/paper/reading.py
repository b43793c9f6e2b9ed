"""Reads a printed file back with tools from outside: pdfplumber, pdftoppm, zbarimg."""

from __future__ import annotations

import io
import shutil
import subprocess
from pathlib import Path

import pdfplumber
import pytest
from PIL import Image

from library.paper.pdf import as_pdf
from library.paper.sheet import Sheet

MM = 25.4 / 72
DOTS_PER_MM = 10
"""``pdftoppm -r 254`` gives ten dots a millimetre."""


def straight_lines(sheet: Sheet, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Straight lines of a page as pdfplumber reads them, in millimetres from the top left."""
    with pdfplumber.open(io.BytesIO(as_pdf(sheet))) as pdf:
        return [
            tuple(line[key] * MM for key in ("x0", "top", "x1", "bottom"))
            for line in pdf.pages[page].lines
        ]


def picture(sheet: Sheet, folder: Path, page: int = 1) -> Image.Image:
    """A page rendered by Poppler at ten dots a millimetre, in grey."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is not installed")
    source = folder / "sheet.pdf"
    source.write_bytes(as_pdf(sheet))
    command = [
        "pdftoppm",
        "-r",
        "254",
        "-gray",
        "-png",
        "-f",
        str(page),
        "-l",
        str(page),
        "-singlefile",
    ]
    subprocess.run([*command, str(source), str(folder / "sheet")], check=True, timeout=60)
    with Image.open(folder / "sheet.png") as image:
        return image.convert("L")


def codes_in(image: Image.Image, folder: Path) -> list[str]:
    """What the QR codes of a picture say, as zbarimg reads them."""
    if shutil.which("zbarimg") is None:
        pytest.skip("zbarimg (zbar-tools) is not installed")
    image.save(folder / "codes.png")
    found = subprocess.run(
        ["zbarimg", "--quiet", "--raw", str(folder / "codes.png")],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    return sorted(found.stdout.split())


def ink(image: Image.Image) -> tuple[float, float, float, float]:
    """The empty edges at the left, top, right and bottom, in millimetres."""
    left, top, right, bottom = image.point(lambda dot: 255 if dot < 200 else 0).getbbox()
    width, height = image.size
    return tuple(n / DOTS_PER_MM for n in (left, top, width - right, height - bottom))
