"""Pictures of cards: what a camera gave is made into a plain picture that tells nothing else.

A camera writes into its files where and when a picture was taken and by which device. The library folder
is shared, so a picture is drawn anew, and nothing but its points is kept.
"""

from __future__ import annotations

import io
import re
import warnings

from library.store.errors import Invalid
from library.store.problems import Problem

KINDS = {"JPEG": b"\xff\xd8\xff", "PNG": b"\x89PNG\r\n\x1a\n"}
"""Formats that are read, each with the bytes its files begin with."""
LONGEST_SIDE = 1600
"""Points; enough for half a printed page, and a few hundred kilobytes."""
MOST_POINTS = 60_000_000
"""Points of a picture that is opened at all; more would only fill the memory."""
QUALITY = 82
MOST_PHOTOS = 8
"""Of one card."""
NAME = re.compile(r"^[a-z0-9][a-z0-9-]*\.(?:jpg|jpeg|png)\Z", re.IGNORECASE)
"""A picture's file name: beside the card, and nothing that leads elsewhere."""


def plain_picture(content: bytes) -> bytes:
    """A picture drawn anew as JPEG: upright, of a moderate size, without anything the camera wrote.

    Args:
        content: What was sent.

    Raises:
        Invalid: If it is no whole JPEG or PNG by its content, whatever its name says, or too large.
    """
    from PIL import Image, ImageOps

    kind = next((name for name, begin in KINDS.items() if content.startswith(begin)), None)
    if kind is None:
        raise _refused("this is no JPEG or PNG picture", "send a picture as a phone takes it")
    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(content), formats=[kind]) as picture:
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            if picture.width * picture.height > MOST_POINTS:
                raise _refused("the picture has too many points", "send a smaller one")
            picture.load()
            upright = ImageOps.exif_transpose(picture)
            seen = upright.convert("RGBA")
            seen.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            drawn = Image.new("RGB", seen.size, "white")
            drawn.paste(seen, mask=seen)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        fix = "take it again, or send another"
        raise _refused("the picture is torn and cannot be read", fix) from error
    made = io.BytesIO()
    drawn.save(made, "JPEG", quality=QUALITY, optimize=True)
    return made.getvalue()


def next_name(card_id: str, taken: set[str]) -> str:
    """The name of a card's next picture; the name a file had on a phone is never used."""
    number = 1
    while f"{card_id}-{number}.jpg" in taken:
        number += 1
    return f"{card_id}-{number}.jpg"


def kind_of(content: bytes) -> str | None:
    """``image/jpeg`` or ``image/png`` by the content of a file; None for anything else."""
    kind = next((name for name, begin in KINDS.items() if content.startswith(begin)), None)
    return f"image/{kind.lower()}" if kind else None


def _refused(problem: str, fix: str) -> Invalid:
    return Invalid([Problem("", 0, "photo", problem, fix)])
