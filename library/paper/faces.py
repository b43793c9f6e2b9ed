"""The typeface and its measures. Reads the two font files of the installed package, once.

Fira Sans (SIL Open Font License 1.1) comes from the package ``fontpkg-fira-sans``. It holds the Latin
accents, Vietnamese, Greek, Cyrillic and the fractions that recipes use.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

PACKAGE = "fontpkg_fira_sans"
FILES = {False: "FiraSans-Regular.ttf", True: "FiraSans-Bold.ttf"}
"""Bold or not → file."""
NAMES = {False: "Lowshelf-Regular", True: "Lowshelf-Bold"}
"""Bold or not → what the font is called in a PDF."""
MM_PER_POINT = 25.4 / 72
ASCENT, DESCENT = 0.935, 0.265
"""Reach of the letters above and below the line, in parts of the size, as the font states it."""
LEADING = 1.28
"""Distance of two lines in parts of the size: room for the double accents of Vietnamese."""
STAND_IN = "\N{WHITE VERTICAL RECTANGLE}"
"""Shown where the font has no letter, so that a gap is seen."""
_PLAIN = {"\N{TAB}": " ", "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " "}


@dataclass(frozen=True)
class Face:
    """One weight of the typeface."""

    name: str
    file: str
    font: Any
    """reportlab's font, which writes the part that is used into a PDF."""
    widths: dict[int, float]
    """Width of each character, in thousandths of the size."""
    usual: float
    """Width of a character that is not there."""

    def width(self, text: str, size: float) -> float:
        """The width of a text in millimetres.

        Args:
            text: One line.
            size: Of the type, in points.
        """
        widths, usual = self.widths, self.usual
        return sum(widths.get(ord(c), usual) for c in text) * size * MM_PER_POINT / 1000


@cache
def face(bold: bool = False) -> Face:
    """One weight of the typeface, ready to measure and to be written into a PDF."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    file = str(files(PACKAGE).joinpath("files", FILES[bold]))
    font = TTFont(NAMES[bold], file)
    registerFont(font)
    return Face(NAMES[bold], file, font, dict(font.face.charWidths), font.face.defaultWidth)


def tidy(text: str) -> str:
    """The text as it can be printed: composed letters, no control characters, a square for what is missing.

    Accents that stand apart from their letter are joined to it (Unicode NFC), since the font has
    the joined ones. Line breaks stay.
    """
    known = face().widths
    text = unicodedata.normalize("NFC", text)
    return "".join(_printable(c, known) for c in text if not _is_unseen(c))


def unprintable(text: str) -> str:
    """The characters of a text that the font does not have, once each."""
    known = face().widths
    kept = (c for c in unicodedata.normalize("NFC", text) if not _is_unseen(c))
    return "".join(dict.fromkeys(c for c in kept if _is_missing(c, known)))


_UNSEEN = {"Cc", "Cf", "Cs"}
"""Unicode's categories of control and format characters, which have no shape."""


def _is_unseen(character: str) -> bool:
    return character not in "\n\t" and unicodedata.category(character) in _UNSEEN


def _printable(character: str, known: dict[int, float]) -> str:
    if character in _PLAIN:
        return _PLAIN[character]
    if character == "\n":
        return character
    return STAND_IN if _is_missing(character, known) else character


def _is_missing(character: str, known: dict[int, float]) -> bool:
    return character != "\n" and character not in _PLAIN and ord(character) not in known
