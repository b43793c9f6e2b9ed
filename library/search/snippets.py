"""The sentence that matched, with its words told apart from the rest; never HTML."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from library.search.analysis import fold_in_place

LONGEST_SNIPPET = 240
"""Signs; of a longer sentence the part around the first match is shown."""

_PREFIX = re.compile(r"^\s*(?:>\s*)*(?:[-*+]\s+|\d{1,3}[.)]\s+)?(?:\[[ xX]\]\s+)?")
_SIGNS_ONLY = re.compile(r"^[\s:|\-*_=]*$|^\s*(?:```|~~~)")
_HEADING = re.compile(r"^\s{0,3}#{1,6}\s+(.*)$")
_LINK = re.compile(r"!?\[([^\]\n]{0,300})\](?:\([^)\n]{0,2000}\)|\[[^\]\n]{0,300}\])")
_EMPHASIS = re.compile(r"[*`]+(?=\S)|(?<=\S)[*`]+|~~|(?<![^\W_])_+|_+(?![^\W_])")
_SIGN = re.compile(r"[][*`_~|\\]")
_ESCAPE = re.compile(r"\\([!-/:-@\[-`{-~])")
_SENTENCE_END = re.compile(r"(?<=[.!?…])[\"'”’)]*\s+(?=[^\sa-z])")
_WORD_REST = re.compile(r"[^\W_]*")


@dataclass(frozen=True, slots=True)
class Segment:
    """A part of a text."""

    text: str
    marked: bool = False
    """Whether it is one of the words that were looked for."""


def headings_of(markdown: str) -> list[str]:
    """The headings of a Markdown text, without their signs."""
    found = (_HEADING.match(line) for line in markdown.split("\n"))
    return [_plain_line(match[1].rstrip(" #")) for match in found if match]


def sentences_of(markdown: str) -> list[str]:
    """The sentences of a Markdown text without headings and without Markdown's signs."""
    sentences: list[str] = []
    paragraph: list[str] = []
    for line in [*markdown.split("\n"), ""]:
        plain = "" if _HEADING.match(line) or _SIGNS_ONLY.match(line) else _plain_line(line)
        begins_anew = not plain or _PREFIX.match(line)[0].strip()  # type: ignore[index]
        if begins_anew and paragraph:
            sentences += _SENTENCE_END.split(" ".join(paragraph))
            paragraph = []
        if plain:
            paragraph.append(plain)
    return sentences


def _plain_line(line: str) -> str:
    text = _PREFIX.sub("", line, count=1)
    if _SIGN.search(text) is None:
        return " ".join(text.split())
    if "](" in text or "][" in text:
        text = _LINK.sub(r"\1", text)
    text = _EMPHASIS.sub("", text).replace("|", " ")
    if "\\" in text:
        text = _ESCAPE.sub(r"\1", text)
    return " ".join(text.split())


@dataclass(frozen=True, slots=True)
class Wanted:
    """What counts as a match of one word of the question in a text."""

    start: str
    """Folded letters with which a match begins; may hold blanks."""
    forms: frozenset[str] | None = None
    """The whole words that count; None: any ending does, as while a word is being typed."""


def wanted_forms(forms: Iterable[str]) -> Wanted | None:
    """Matches any of these words; None if there are none."""
    words = frozenset(forms)
    return Wanted(_shared_start(min(words), max(words)), words) if words else None


def _shared_start(one: str, other: str) -> str:
    """The letters with which two words begin alike; of sorted words the ends decide for all."""
    length = 0
    while one[length : length + 1] == other[length : length + 1] != "":
        length += 1
    return one[:length]


@dataclass(frozen=True, slots=True)
class _Match:
    start: int
    end: int
    wanted: int


def find_snippet(text: str, wanted: Sequence[Wanted]) -> tuple[Segment, ...]:
    """The sentence that holds most of the words looked for, the first of equals.

    Args:
        text: Sentences, one a line.
        wanted: What is looked for; plain string search finds it, so that it costs microseconds.

    Returns:
        The sentence in parts; nothing where no sentence matches.
    """
    folded = fold_in_place(text)
    best, most = (0, 0), 0
    found = [match for n, each in enumerate(wanted) for match in _matches(folded, each, n)]
    by_line: dict[int, set[int]] = {}
    for match in found:
        by_line.setdefault(folded.rfind("\n", 0, match.start) + 1, set()).add(match.wanted)
    for start in sorted(by_line):
        if len(by_line[start]) > most:
            end = folded.find("\n", start)
            best, most = (start, len(text) if end < 0 else end), len(by_line[start])
    inside = [match for match in found if best[0] <= match.start < best[1]]
    return _segments(text, *_shortened(text, *best, inside), inside) if inside else ()


def mark(text: str, wanted: Sequence[Wanted]) -> tuple[Segment, ...]:
    """All of a text in parts, the words looked for marked."""
    folded = fold_in_place(text)
    found = [match for n, each in enumerate(wanted) for match in _matches(folded, each, n)]
    return _segments(text, 0, len(text), found)


def _matches(folded: str, wanted: Wanted, number: int, most: int = 12) -> list[_Match]:
    found: list[_Match] = []
    length = len(wanted.start)
    at = folded.find(wanted.start)
    while at >= 0 and len(found) < most:
        rest = _WORD_REST.match(folded, at + length)
        end = rest.end() if rest else at + length
        whole = (at == 0 or not folded[at - 1].isalnum()) and (
            wanted.forms is None or folded[at:end] in wanted.forms
        )
        if whole:
            found.append(_Match(at, end, number))
        at = folded.find(wanted.start, end if whole else at + 1)
    return found


def _shortened(text: str, start: int, end: int, matches: Sequence[_Match]) -> tuple[int, int]:
    """A part of a long sentence that begins and ends between words."""
    if end - start <= LONGEST_SNIPPET:
        return start, end
    first = min(match.start for match in matches)
    left = max(start, min(first - LONGEST_SNIPPET // 3, end - LONGEST_SNIPPET))
    right = min(end, left + LONGEST_SNIPPET)
    if left > start:
        left = text.find(" ", left, first) + 1 or left
    if right < end:
        right = max(text.rfind(" ", left, right), first + 1)
    return left, right


def _segments(text: str, start: int, end: int, matches: Sequence[_Match]) -> tuple[Segment, ...]:
    parts: list[Segment] = []
    at = start
    for match in sorted(matches, key=lambda match: (match.start, -match.end)):
        if match.start < at or match.end > end:
            continue
        if match.start > at:
            parts.append(Segment(text[at : match.start]))
        parts.append(Segment(text[match.start : match.end], marked=True))
        at = match.end
    if at < end:
        parts.append(Segment(text[at:end]))
    return tuple(parts)
