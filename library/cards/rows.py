"""Writes the rows of a card's list so that rows which stay keep their bytes, comments and own keys."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from library.store.errors import LibraryError
from library.store.frontmatter import dump_field, newline_of, read_document
from library.store.rows import change_row

NAMES = {"materials": "item", "steps": "do"}
"""Lists that are written row by row → the key by which a row is known again."""
Row = dict[str, object]


def change_list(text: str, key: str, old: Sequence[Row], new: Sequence[Row]) -> str | None:
    """The text with other rows in one list.

    Args:
        text: A text with front matter.
        key: The list, one of ``NAMES``.
        old: Its rows as they were read.
        new: Its rows as they shall be.

    Returns:
        The new text; None where the list does not stand one row to a line, or was not read whole,
        so that it has to be written anew.
    """
    if not {row[NAMES[key]] for row in old} & {row[NAMES[key]] for row in new}:
        return None  # no row is known again, so there is nothing to keep
    try:
        for index, changes in _changed(key, old, new):
            text = change_row(text, key, index, changes)
    except LibraryError:
        return None
    chunks = _chunks(text, key, len(old))
    if chunks is None or not new:
        return None
    lines, start, rows = chunks
    named = [(row[NAMES[key]], kept) for row, kept in zip(old, rows, strict=True)]
    written: list[str] = []
    for row in new:
        at = next((at for at, (name, _) in enumerate(named) if name == row[NAMES[key]]), None)
        indent = rows[0][0][: len(rows[0][0]) - len(rows[0][0].lstrip())]
        fresh = [indent + dump_field(key, [row])[1].lstrip()]
        written += named.pop(at)[1] if at is not None else fresh
    end = start + sum(map(len, rows))
    newline = newline_of(text)
    return newline.join([*lines[:start], *written, *lines[end:]])


def _changed(key: str, old: Sequence[Row], new: Sequence[Row]) -> Iterator[tuple[int, Row]]:
    """Rows that are known again by their names, with the values that changed."""
    left = list(enumerate(old))
    for row in new:
        match = next((pair for pair in left if pair[1][NAMES[key]] == row[NAMES[key]]), None)
        if match is None:
            continue
        left.remove(match)
        index, before = match
        changes: Row = {
            name: row.get(name)
            for name in dict.fromkeys([*before, *row])
            if before.get(name) != row.get(name)
        }
        if changes:
            yield index, changes


def _chunks(text: str, key: str, count: int) -> tuple[list[str], int, list[list[str]]] | None:
    """All lines, where the first row begins, and the lines of each row with what follows it."""
    document = read_document(text)[0]
    raw = document.fields.get(key)
    if not isinstance(raw, list) or len(raw) != count or not count:
        return None
    lines = text.split(newline_of(text))
    starts = [document.line(key, index) - 1 for index in range(count)]
    if document.line(key) - 1 >= starts[0] or any(b <= a for a, b in pairwise(starts)):
        return None
    if not all(lines[start].lstrip().startswith("-") for start in starts):
        return None
    end = starts[-1] + 1
    while end < len(lines) and lines[end][:1] == " " and not lines[end].lstrip().startswith("#"):
        end += 1
    ends = [*starts[1:], end]
    return lines, starts[0], [lines[a:b] for a, b in zip(starts, ends, strict=True)]
