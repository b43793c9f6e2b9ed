"""Reads YAML as people write it: every plain value stays text, every key knows its line.

A teacher who writes ``from: 12:30`` or ``again: no`` means what she wrote. YAML would make 750
and false of it, so no value is converted here; each field reads its own text.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias

import yaml

from library.store.problems import Problem

Plain: TypeAlias = "str | list[Plain] | dict[str, Plain] | None"
Path: TypeAlias = "tuple[str | int, ...]"

_Loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_EMPTY = {"", "~", "null", "Null", "NULL"}


@dataclass(slots=True)
class Loaded:
    """What a YAML text says, and where."""

    value: Plain = None
    """Nested dicts, lists, texts and None; never numbers, booleans or dates."""
    lines: dict[Path, int] = field(default_factory=dict)
    """1-based line of each key and list entry, by path: ``("steps", 0, "minutes")``."""
    problems: list[Problem] = field(default_factory=list)
    """Everything that could not be read; ``value`` holds the rest."""

    def line(self, *path: str | int) -> int:
        """The line of a path, or of the nearest thing around it; 0 if there is none."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return 0


def load_yaml(text: str, *, first_line: int = 1) -> Loaded:
    """Reads a YAML text.

    Args:
        text: The text, without ``---`` lines.
        first_line: The line of the file on which the text begins.

    Returns:
        The value, the lines and every problem. Tabs, broken syntax, duplicate keys and aliases
        are problems, never exceptions.
    """
    loaded = Loaded()
    loader = _Loader(text)
    try:
        node = loader.get_single_node()
    except yaml.MarkedYAMLError as error:
        loaded.problems.append(_syntax_problem(error, first_line))
        return loaded
    except yaml.YAMLError as error:
        loaded.problems.append(
            Problem("", first_line, "", f"not readable as YAML: {error}", "retype this part")
        )
        return loaded
    finally:
        loader.dispose()
    if node is not None:
        loaded.value = _build(node, (), loaded, set(), first_line)
    return loaded


def plain_dict(value: Plain) -> dict[str, Plain]:
    """The value if it is a mapping, else an empty one."""
    return value if isinstance(value, dict) else {}


def path_name(path: Path) -> str:
    """A path as a person reads it: ``materials[2].amount``."""
    name = ""
    for part in path:
        name += f"[{part}]" if isinstance(part, int) else (f".{part}" if name else part)
    return name


def _build(node: yaml.Node, path: Path, out: Loaded, seen: set[int], base: int) -> Plain:
    if id(node) in seen:
        where = path_name(path)
        out.problems.append(
            Problem(
                "",
                out.line(*path) or base,
                where,
                "found an alias (*name)",
                "write the value out where it is needed",
            )
        )
        return None
    seen.add(id(node))
    if isinstance(node, yaml.ScalarNode):
        plain = not node.style  # None with the Python loader, empty with the C loader
        return None if plain and node.value in _EMPTY else str(node.value)
    if isinstance(node, yaml.SequenceNode):
        return [_entry(child, (*path, i), out, seen, base) for i, child in enumerate(node.value)]
    if isinstance(node, yaml.MappingNode):
        return dict(_pairs(node, path, out, seen, base))
    raise TypeError(f"unknown YAML node {node!r}")


def _entry(node: yaml.Node, path: Path, out: Loaded, seen: set[int], base: int) -> Plain:
    out.lines[path] = node.start_mark.line + base
    return _build(node, path, out, seen, base)


def _pairs(
    node: yaml.MappingNode, path: Path, out: Loaded, seen: set[int], base: int
) -> Iterator[tuple[str, Plain]]:
    known: dict[str, int] = {}
    for key_node, value_node in node.value:
        line = key_node.start_mark.line + base
        if not isinstance(key_node, yaml.ScalarNode):
            out.problems.append(
                Problem(
                    "",
                    line,
                    path_name(path),
                    "found a list or mapping as a key",
                    "put text in front of the colon",
                )
            )
            continue
        key = str(key_node.value)
        if key in known:
            out.problems.append(
                Problem(
                    "",
                    line,
                    path_name((*path, key)),
                    f"'{key}' is there twice, first in line {known[key]}",
                    "keep one of the two",
                )
            )
            continue
        known[key] = line
        out.lines[(*path, key)] = line
        yield key, _build(value_node, (*path, key), out, seen, base)


def _syntax_problem(error: yaml.MarkedYAMLError, first_line: int) -> Problem:
    mark = error.problem_mark or error.context_mark
    line = (mark.line if mark else 0) + first_line
    what = error.problem or error.context or "cannot be read"
    if "'\\t'" in what or "tab" in what:
        return Problem("", line, "", "found a tab", "indent with spaces")
    return Problem(
        "",
        line,
        "",
        f"not readable as YAML ({what})",
        "check the colon, quotes and indent of this line; put text with a colon in quotes",
    )
