"""Changes single rows of a list in front matter: one value, one key or one row at a time.

Every byte outside what is meant stays: comments, spacing, quotes, unknown keys, line ends.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import yaml

from library.store.errors import Invalid
from library.store.frontmatter import change_fields, newline_of, read_document
from library.store.problems import Problem

Order = tuple[str, ...]


def add_row(text: str, key: str, row: Mapping[str, object], order: Order = ()) -> str:
    """The text with one more row at the end of a list.

    Args:
        text: A text with front matter.
        key: The top-level key of the list; it is added where it is missing.
        row: The new row.
        order: The usual order of top-level keys, for a list that is not there yet.

    Raises:
        Invalid: If the front matter cannot be read.
    """
    text = _with_list(text, key)
    rows, offset = _find(text, key)
    if not isinstance(rows, yaml.SequenceNode) or not rows.value:
        return change_fields(text, {key: [dict(row)]}, order)
    line = _inline(dict(row))
    end = offset + _end(rows.value[-1])
    if rows.flow_style:
        return f"{text[:end]}, {line}{text[end:]}"
    at = _line_end(text, end)
    return f"{text[:at]}{newline_of(text)}{' ' * rows.start_mark.column}- {line}{text[at:]}"


def remove_row(text: str, key: str, index: int) -> str:
    """The text without one row; comments between rows stay.

    Raises:
        Invalid: If the front matter cannot be read.
        IndexError: If there is no such row.
    """
    text = _with_list(text, key)
    rows, offset = _list(text, key)
    row = rows.value[index]
    if rows.flow_style:
        start, end = _with_comma([(each, each) for each in rows.value], index)
        return text[: offset + start] + text[offset + end :]
    dash = text.rindex("-", 0, offset + row.start_mark.index + 1)
    return text[: _line_start(text, dash)] + text[_next_line(text, offset + _end(row)) :]


def change_row(
    text: str,
    key: str,
    index: int,
    changes: Mapping[str, object],
    order: Order = (),
    *,
    keeps_no: Order = (),
) -> str:
    """The text with other values for some keys of one row.

    Args:
        text: A text with front matter.
        key: The top-level key of the list.
        index: The row, from 0.
        changes: New values by key; what is empty or no removes the key.
        order: The usual order of a row's keys; a new key goes behind its nearest predecessor.
        keeps_no: Keys for which no, and what is empty, is a value like any other.

    Raises:
        Invalid: If the front matter cannot be read, or the row is no mapping.
        IndexError: If there is no such row.
    """
    text = _with_list(text, key)
    for name, value in changes.items():
        rows, offset = _list(text, key)
        row = rows.value[index]
        if not isinstance(row, yaml.MappingNode):
            raise Invalid([Problem("", 0, key, "a row is no mapping", "write {key: value, …}")])
        names = [each.value for each, _ in row.value]
        is_said = bool(value) or name in keeps_no
        if name in names:
            at = names.index(name)
            text = (
                _replace(text, row, at, value, offset) if is_said else _drop(text, row, at, offset)
            )
        elif is_said:
            text = _insert(text, row, _place(names, name, order), name, value, offset)
    return text


def _replace(text: str, row: yaml.MappingNode, at: int, value: object, offset: int) -> str:
    name, node = row.value[at]
    start, end = offset + node.start_mark.index, offset + _end(node)
    if node.start_mark.line == name.end_mark.line:
        blank = " " if start == end else ""
        return f"{text[:start]}{blank}{_inline(value)}{text[end:]}"
    colon = text.index(":", offset + name.end_mark.index)
    rest_of_line = text[colon + 1 : _line_end(text, colon)]
    return f"{text[: colon + 1]} {_inline(value)}{rest_of_line.rstrip()}{text[end:]}"


def _drop(text: str, row: yaml.MappingNode, at: int, offset: int) -> str:
    name, value = row.value[at]
    start, end = offset + name.start_mark.index, offset + _end(value)
    if not row.flow_style and not text[_line_start(text, start) : start].strip():
        return text[: _line_start(text, start)] + text[_next_line(text, end) :]
    if len(row.value) == 1:
        inner = "" if row.flow_style else "{}"
        return text[:start] + inner + text[end:]
    if row.flow_style:
        first, last = _with_comma(row.value, at)
        return text[: offset + first] + text[offset + last :]
    return text[:start] + text[offset + row.value[at + 1][0].start_mark.index :]


def _insert(
    text: str, row: yaml.MappingNode, at: int, name: str, value: object, offset: int
) -> str:
    """Puts a new key in front of the one that stands at a place, or last."""
    pair = f"{name}: {_inline(value)}"
    indent = newline_of(text) + " " * row.start_mark.column
    if at == 0:
        start = offset + (row.value[0][0].start_mark.index if row.value else _end(row) - 1)
        tail = "" if not row.value else ", " if row.flow_style else indent
        return f"{text[:start]}{pair}{tail}{text[start:]}"
    end = offset + _end(row.value[at - 1][1])
    if row.flow_style:
        return f"{text[:end]}, {pair}{text[end:]}"
    end = _line_end(text, end)
    return f"{text[:end]}{indent}{pair}{text[end:]}"


def _place(names: Sequence[str], name: str, order: Order) -> int:
    """Where a new key belongs: behind the nearest of its usual predecessors, else last."""
    if name not in order:
        return len(names)
    before = order[: order.index(name)]
    return max((index + 1 for index, each in enumerate(names) if each in before), default=0)


def _with_comma(pairs: Sequence[tuple[yaml.Node, yaml.Node]], at: int) -> tuple[int, int]:
    """The span of one entry of a flow list or mapping, with the comma that goes with it."""
    start, end = pairs[at][0].start_mark.index, _end(pairs[at][1])
    if at:
        return _end(pairs[at - 1][1]), end
    if len(pairs) > 1:
        return start, pairs[1][0].start_mark.index
    return start, end


def _find(text: str, key: str) -> tuple[yaml.Node | None, int]:
    """The node of a top-level key, and where in the text its marks begin to count."""
    problems = read_document(text)[1]
    if problems:
        raise Invalid(problems)
    offset = text.index("\n") + 1
    try:
        root = yaml.compose(_front(text, offset), Loader=yaml.BaseLoader)
    except yaml.YAMLError as error:  # stricter than the loader in C: '?' at the end of a plain text
        fix = "put quotes around texts with a question mark inside braces"
        raise Invalid([Problem("", 0, key, "a row cannot be changed by itself", fix)]) from error
    pairs = root.value if isinstance(root, yaml.MappingNode) else []
    return next((value for name, value in pairs if name.value == key), None), offset


def _front(text: str, offset: int) -> str:
    at = offset
    while text[at : _line_end(text, at)].rstrip() != "---":
        at = _next_line(text, at)
    return text[offset:at]


def _list(text: str, key: str) -> tuple[yaml.SequenceNode, int]:
    node, offset = _find(text, key)
    if not isinstance(node, yaml.SequenceNode):
        raise IndexError(f"{key} has no rows")
    return node, offset


def _with_list(text: str, key: str) -> str:
    """The text with a mapping that stands for a list of one written as that list (CMD9)."""
    node, _ = _find(text, key)
    if not isinstance(node, yaml.MappingNode):
        return text
    return change_fields(text, {key: [read_document(text)[0].fields[key]]})


def _end(node: yaml.Node) -> int:
    """Where the last character of a value ends; YAML's own marks run on over blank lines."""
    if isinstance(node, yaml.CollectionNode):
        if node.flow_style or not node.value:
            return int(node.end_mark.index)
        last = node.value[-1]
        return _end(last[1] if isinstance(last, tuple) else last)
    start, end = node.start_mark, node.end_mark
    written = (start.buffer or "")[start.pointer : end.pointer]
    return int(start.index) + len(written.rstrip())


def _inline(value: object) -> str:
    """A value as YAML on one line, quoted so that it reads back inside braces as well."""
    text = yaml.safe_dump(
        {"k": value}, default_flow_style=True, sort_keys=False, allow_unicode=True, width=10**9
    )
    return text.strip().removeprefix("{k: ").removesuffix("}")


def _line_start(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def _line_end(text: str, at: int) -> int:
    """Where the line ends, in front of its line end."""
    end = text.find("\n", at)
    end = len(text) if end < 0 else end
    return end - 1 if text[end - 1 : end] == "\r" and end > at else end


def _next_line(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1
