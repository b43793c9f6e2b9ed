"""Looks for words in files, also where they are packed away."""

from __future__ import annotations

import contextlib
import re
import urllib.parse
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path


def within(text: str, marks: Iterable[str]) -> list[str]:
    """The marks that stand in a text, in any case and however an address would write them."""
    plain = urllib.parse.unquote_plus(text).casefold()
    return [mark for mark in marks if re.search(re.escape(mark.casefold()), plain)]


def holds(file: Path, marks: Iterable[str]) -> list[str]:
    """Marks in a file: as text, as four bytes a letter, or in anything that is deflated in it.

    So are the objects of the history, packed or not, whose bytes show nothing of their text.
    """
    data, marks = file.read_bytes(), tuple(marks)
    found = [mark for mark in marks if mark.encode("utf-32-le") in data]
    for part in (data, *_inflated(data)):
        found += within(part.decode("utf-8", "replace"), marks)
    return found


def _inflated(data: bytes) -> Iterator[bytes]:
    at = data.find(b"\x78")
    while at >= 0:
        if data[at + 1 : at + 2] in (b"\x01", b"\x5e", b"\x9c", b"\xda"):
            with contextlib.suppress(zlib.error):
                yield zlib.decompressobj().decompress(data[at:])
        at = data.find(b"\x78", at + 1)
