"""Writes arrays to one file and maps them back into memory; nothing here is ever unpickled.

The file: eight bytes of magic, eight of the header's length, the header as JSON, and the arrays one
after the other, each on a multiple of 64 bytes. Pages of the file come into memory when a
search first needs them, and several processes share them.
"""

from __future__ import annotations

import json
import mmap
import os
import zlib
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from library.search.arrays import Arrays, Damaged, Heavy, Lists, check, width_of

MAGIC = b"LOWSHELF"
STEP = 64
CHECKED_BYTES = 32_000_000
"""Up to this size the bytes are read through and compared with their checksums on opening. Larger
files are checked by their sizes, or opening them would read all of them."""


def save_arrays(arrays: Arrays, path: Path) -> None:
    """Writes the arrays; the name points to them only when all bytes are on the disk."""
    parts = dict(_parts(arrays))
    about, offset = {}, 0
    for name, part in parts.items():
        flat = np.ascontiguousarray(part)
        about[name] = [flat.dtype.str, offset, flat.size, zlib.crc32(flat.data)]
        offset += -(-flat.nbytes // STEP) * STEP
    header = json.dumps({"parts": about, "plain": _plain(arrays), "bytes": offset}).encode()
    header += b" " * (-(len(MAGIC) + 8 + len(header)) % STEP)
    temporary = path.with_suffix(".tmp")
    with temporary.open("wb") as file:
        file.write(MAGIC + len(header).to_bytes(8, "little") + header)
        for part in parts.values():
            data = np.ascontiguousarray(part)
            file.write(data.data)
            file.write(b"\0" * (-data.nbytes % STEP))
        file.flush()
        os.fsync(file.fileno())
    temporary.replace(path)


def load_arrays(path: Path, *, thorough: bool = False) -> Arrays:
    """Maps a file of arrays.

    Args:
        path: The file.
        thorough: Whether a large file is compared with its checksums too.

    Raises:
        Damaged: If the file is not whole.
        FileNotFoundError: If there is none.
    """
    with path.open("rb") as file:
        if os.fstat(file.fileno()).st_size < len(MAGIC) + 8:
            raise Damaged(f"{path.name} is too short")
        mapped = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
    try:
        arrays = _read(mapped, thorough)
    except (ValueError, KeyError, TypeError, IndexError) as error:
        raise Damaged(f"{path.name} cannot be read: {error}") from error
    if not check(arrays):
        raise Damaged(f"{path.name} does not hang together")
    return arrays


def _read(mapped: memoryview, thorough: bool) -> Arrays:
    start = len(MAGIC) + 8
    length = int.from_bytes(mapped[len(MAGIC) : start], "little")
    if mapped[: len(MAGIC)] != MAGIC or start + length > len(mapped):
        raise ValueError("it does not begin as it should")
    header = json.loads(bytes(mapped[start : start + length]))
    base = start + length
    if len(mapped) != base + header["bytes"]:
        raise ValueError("it has another size than it should")
    parts: dict[str, NDArray[Any]] = {}
    for name, (dtype, offset, size, checksum) in header["parts"].items():
        part = np.frombuffer(mapped, dtype=dtype, count=size, offset=base + offset)
        if (thorough or len(mapped) <= CHECKED_BYTES) and zlib.crc32(part.data) != checksum:
            raise ValueError(f"the bytes of {name} have changed")
        parts[name] = part
    return _arrays(parts, header["plain"])


_LISTS = ("words", "beginnings", "tags", "titles")
_HEAVY = ("heavy", "heavy_beginnings")
_TEXTS = ("forms", "ids", "title_words")
_BYTES = ("shown", "texts")
_ARRAYS = ("counts", "form_stems", "form_uses", "title_order", "shown_starts", "text_starts")
_PLAIN = ("size", "counted", "average")


def _plain(arrays: Arrays) -> dict[str, Any]:
    return {name: getattr(arrays, name) for name in _PLAIN}


def _parts(arrays: Arrays) -> Iterator[tuple[str, NDArray[Any]]]:
    """The arrays by name; names and texts as bytes with line ends between."""
    for each in fields(arrays):
        name, value = each.name, getattr(arrays, each.name)
        if name in _LISTS:
            yield f"{name}.names", _bytes("\n".join(value.names).encode())
            yield f"{name}.starts", value.starts
            yield f"{name}.docs", value.docs
            yield f"{name}.marks", value.marks
        elif name in _HEAVY:
            yield f"{name}.numbers", value.numbers
            yield f"{name}.rows", value.rows.reshape(-1)
        elif name in _TEXTS:
            yield name, _bytes("\n".join(value).encode())
        elif name in _BYTES:
            yield name, _bytes(value)
        elif name == "numbers":
            for key, column in value.items():
                yield f"numbers.{key}", column
        elif name in _ARRAYS:
            yield name, value


def _bytes(data: bytes | memoryview) -> NDArray[np.uint8]:
    return np.frombuffer(data, dtype=np.uint8)


def _arrays(parts: dict[str, NDArray[Any]], plain: dict[str, Any]) -> Arrays:
    values: dict[str, Any] = dict(plain)
    for name in _LISTS:
        values[name] = Lists(
            _lines(parts.pop(f"{name}.names")),
            *(parts.pop(f"{name}.{part}") for part in ("starts", "docs", "marks")),
        )
    for name in _HEAVY:
        numbers, rows = parts.pop(f"{name}.numbers"), parts.pop(f"{name}.rows")
        values[name] = Heavy(numbers, rows.reshape(numbers.size, width_of(plain["size"])))
    for name in _TEXTS:
        values[name] = _lines(parts.pop(name))
    for name in _BYTES:
        values[name] = parts.pop(name).data
    values["numbers"] = {
        name.removeprefix("numbers."): parts.pop(name)
        for name in list(parts)
        if name.startswith("numbers.")
    }
    values |= {name: parts.pop(name) for name in _ARRAYS}
    return Arrays(**values)


def _lines(data: NDArray[Any]) -> list[str]:
    text = bytes(data).decode()
    return text.split("\n") if text else []
