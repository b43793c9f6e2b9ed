"""The typeface and its measures. Reads the two font files of the installed package, once.

Fira Sans (SIL Open Font License 1.1) comes from the package ``fontpkg-fira-sans``. It holds the Latin
accents, Vietnamese, Greek, Cyrillic and the fractions that recipes use.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
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
NO_BREAK = "\N{NO-BREAK SPACE}"
"""A blank at which no line breaks; it is drawn as a plain one, so that copied text has plain blanks."""
_BLANKS = {"\t": " ", "\N{NARROW NO-BREAK SPACE}": NO_BREAK}


@dataclass(frozen=True)
class Face:
    """One weight of the typeface."""

    name: str
    file: str
    font: Any
    """reportlab's font, which writes the part that is used into a PDF."""
    widths: dict[int, float]
    """Width of each character, in thousandths of the size."""

    def width(self, text: str, size: float) -> float:
        """The width of a text in millimetres.

        Args:
            text: One line.
            size: Of the type, in points.
        """
        return _thousandths(self.name, text) * size * MM_PER_POINT / 1000


@lru_cache(maxsize=50_000)
def _thousandths(name: str, text: str) -> float:
    widths = face(name == NAMES[True]).widths
    other = widths[ord(STAND_IN)]
    return sum(widths.get(ord(character), other) for character in text)


@cache
def face(bold: bool = False) -> Face:
    """One weight of the typeface, ready to measure and to be written into a PDF."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    file = str(files(PACKAGE).joinpath("files", FILES[bold]))
    font = TTFont(NAMES[bold], file)
    registerFont(font)
    return Face(NAMES[bold], file, font, dict(font.face.charWidths))


def tidy(text: str) -> str:
    """The text as it can be set: composed letters, plain blanks, no control characters.

    Accents that stand apart from their letter are joined to it (Unicode NFC), since the font has
    the joined ones. Line breaks stay.
    """
    return "".join(
        _BLANKS.get(character, character)
        for character in unicodedata.normalize("NFC", text)
        if character in "\n\t" or unicodedata.category(character) not in _UNSEEN
    )


def shown(text: str) -> str:
    """The text as it is drawn: a frame stands for each character that the typeface does not have."""
    known = face().widths
    return "".join(c if ord(c) in known else STAND_IN for c in text)


def unprintable(text: str) -> str:
    """The characters of a text that the typeface does not have, once each."""
    known = face().widths
    return "".join(dict.fromkeys(c for c in tidy(text) if c != "\n" and ord(c) not in known))


_UNSEEN = {"Cc", "Cf", "Cs"}
"""Unicode's categories of control and format characters, which have no shape."""
