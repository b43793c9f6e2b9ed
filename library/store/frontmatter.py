"""Text with front matter: splits it, reads it, and changes only the lines that are meant."""

from __future__ import annotations

import re
from dataclasses import dataclass

import frontmatter
import yaml
from frontmatter.default_handlers import YAMLHandler

from library.store.problems import Problem
from library.store.yamltext import Loaded, Plain, load_yaml, plain_dict

MAX_FILE_BYTES = 2_000_000
"""Larger files are listed as a problem and not read: 300,000 words are no card."""

_FIX_FENCE = "put a line with only --- before and after the front matter"
_TOP_KEY = re.compile(r"^[^\s#\-][^:]*:")


@dataclass(frozen=True, slots=True)
class Document:
    """A file taken apart: front matter, body, and where each begins."""

    text: str
    """The whole text as it is on disk, without a byte order mark."""
    fields: dict[str, Plain]
    """The front matter; every value is text, None, a list or a mapping."""
    body: str
    """What follows the front matter, line ends as ``\\n``."""
    loaded: Loaded
    """Lines of all keys, and what could not be read."""

    def line(self, *path: str | int) -> int:
        """The line in the file of a path in the front matter."""
        return self.loaded.line(*path)


class _LineKeeper(YAMLHandler):  # type: ignore[misc]
    """Has python-frontmatter load with ``load_yaml`` and keeps the lines it found."""

    def load(self, fm: str, **_: object) -> dict[str, Plain]:
        self.loaded = load_yaml(fm.lstrip("\n"), first_line=2)
        return dict(plain_dict(self.loaded.value))


def read_document(text: str) -> tuple[Document, list[Problem]]:
    """Takes a text apart.

    Returns:
        The document and every problem of its outer form. Where the front matter cannot be
        found at all the fields are empty and the problem says so.
    """
    text = text.removeprefix("\ufeff")
    unix = text.replace("\r\n", "\n").replace("\r", "\n")
    problem = _fence_problem(unix)
    if problem:
        return Document(text, {}, unix, Loaded()), [problem]
    keeper = _LineKeeper()
    fields, body = frontmatter.parse(unix, handler=keeper)
    loaded = keeper.loaded
    problems = list(loaded.problems)
    if loaded.value is not None and not isinstance(loaded.value, dict):
        kind = "list" if isinstance(loaded.value, list) else "text"
        problems.append(
            Problem(
                "",
                2,
                "",
                f"the front matter is a {kind}",
                "write one 'key: value' on each line",
            )
        )
    return Document(text, fields, body, loaded), problems


def _fence_problem(text: str) -> Problem | None:
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        return Problem("", 1, "", "the file does not begin with ---", _FIX_FENCE)
    if not any(line.rstrip() == "---" for line in lines[1:]):
        return Problem("", len(lines), "", "the closing --- is missing", _FIX_FENCE)
    return None


def newline_of(text: str) -> str:
    """The line end a text uses, so that new lines end as the others do."""
    return "\r\n" if "\r\n" in text else "\n"


def change_fields(text: str, changes: dict[str, object], order: tuple[str, ...] = ()) -> str:
    """Writes new values for some top-level keys and leaves every other byte alone.

    Args:
        text: A text with front matter.
        changes: New values by key; None removes the key.
        order: The usual order of keys; a key that is new goes behind its nearest predecessor
            that is there.

    Returns:
        The new text. Line ends, comments, unknown keys and the order of keys survive.
    """
    newline = newline_of(text)
    lines = text.split(newline)
    for key, value in changes.items():
        span = _span(lines, key)
        new = [] if value is None else dump_field(key, value)
        if span is None:
            if new:
                at = _insert_at(lines, key, order)
                lines[at:at] = new
            continue
        start, end = span
        if len(new) == 1 and end - start == 1:
            new = [new[0] + _trailing_comment(lines[start])]
        lines[start:end] = new
    return newline.join(lines)


def replace_body(text: str, body: str) -> str:
    """The text with another body; the front matter keeps every byte."""
    newline = newline_of(text)
    lines = text.split(newline)
    close = _close(lines)
    head = newline.join(lines[: close + 1])
    return head + newline + body.replace("\r\n", "\n").replace("\n", newline)


def dump_field(key: str, value: object) -> list[str]:
    """One key with its value as YAML lines: short values on one line, mappings in lists on one."""
    if isinstance(value, list | tuple) and value and isinstance(value[0], dict):
        rows = [f"  - {_flow(entry)}" for entry in value]
        return [f"{key}:", *rows]
    return [f"{key}: {_flow(value)}".rstrip()]


def _flow(value: object) -> str:
    """A value on one line, as a person would write it; an empty text is left empty."""
    if value is None or value == "":
        return ""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_plain(k)}: {_flow_part(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_flow_part(entry) for entry in value) + "]"
    return _plain(value, inside=False)


def _flow_part(value: object) -> str:
    return _plain(value) if isinstance(value, str) and value else _flow(value)


def _plain(value: object, *, inside: bool = True) -> str:
    """The text plain where that reads back as itself, else in double quotes.

    Args:
        value: A text, number or truth value.
        inside: Whether it stands between braces or brackets.
    """
    text = str(value).lower() if isinstance(value, bool) else str(value)
    there = (
        load_yaml(f"[{text}]").value == [text]
        if inside
        else load_yaml(f"k: {text}").value == {"k": text}
    )
    other = inside and (": " in text or "?" in text)  # some readers of YAML stop at these
    if there and "\n" not in text and not other:
        return text
    quoted = yaml.safe_dump(text, default_style='"', allow_unicode=True, width=10**6)
    return str(quoted).removesuffix("\n")


def _close(lines: list[str]) -> int:
    return next(i for i, line in enumerate(lines[1:], 1) if line.rstrip() == "---")


def _span(lines: list[str], key: str) -> tuple[int, int] | None:
    """First line of a top-level key and the line after its value."""
    close = _close(lines)
    names = (f"{key}:", f'"{key}":', f"'{key}':")
    for start in range(1, close):
        if lines[start].startswith(names):
            end = start + 1
            while end < close and not _TOP_KEY.match(lines[end]):
                end += 1
            while end > start + 1 and (not lines[end - 1].strip() or lines[end - 1][:1] == "#"):
                end -= 1
            return start, end
    return None


def _insert_at(lines: list[str], key: str, order: tuple[str, ...]) -> int:
    before = order[: order.index(key)] if key in order else ()
    for earlier in reversed(before):
        span = _span(lines, earlier)
        if span:
            return span[1]
    return 1 if before or (order and key == order[0]) else _close(lines)


def _trailing_comment(line: str) -> str:
    """The comment at the end of a one-line value, with the blanks before it."""
    for match in re.finditer(r"\s+#", line):
        head = line[: match.start()]
        if not load_yaml(head).problems and load_yaml(line).value == load_yaml(head).value:
            return line[match.start() :]
    return ""
