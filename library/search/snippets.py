"""The sentence that matched, with its words told apart from the rest; never HTML."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from library.search.analysis import fold_in_place

LONGEST_SNIPPET = 240
"""Signs; of a longer sentence the part around the first match is shown."""

MOST_LOOKED_AT = 8
"""Matches of one word in a text that are compared; a card that says it more often is about it anyway."""

_PREFIX = re.compile(r"^\s*(?:>\s*)*(?:[-*+]\s+|\d{1,3}[.)]\s+)?(?:\[[ xX]\]\s+)?")
_SIGNS_ONLY = re.compile(r"^[\s:|\-*_=]*$|^\s*(?:```|~~~)")
_HEADING = re.compile(r"^\s{0,3}#{1,6}\s+(.*)$")
_LINK = re.compile(r"!?\[([^\]\n]{0,300})\](?:\([^)\n]{0,2000}\)|\[[^\]\n]{0,300}\])")
_EMPHASIS = re.compile(r"[*`]+(?=\S)|(?<=\S)[*`]+|~~|(?<![^\W_])_+|_+(?![^\W_])")
_SIGN = re.compile(r"[][*`_~|\\]")
_ESCAPE = re.compile(r"\\([!-/:-@\[-`{-~])")
_NO_LETTER = re.compile(r"[\W_]")
_BLANKS = {ord(sign): " " for sign in map(chr, range(128)) if not sign.isalnum()}
_SENTENCE_END = re.compile(r"(?<=[.!?…])[\"'”’)]*\s+(?=[^\sa-z])")


_Place: TypeAlias = tuple[int, int]
"""Where a match begins and ends."""


class Segment(NamedTuple):
    """A part of a text."""

    text: str
    marked: bool = False
    """Whether it is one of the words that were looked for."""


Segments: TypeAlias = tuple[Segment, ...]


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


class Wanted(NamedTuple):
    """What counts as a match of one word of the question in a text."""

    start: str
    """A blank and the folded letters with which a match begins; these may hold blanks as well."""
    forms: frozenset[str] | None = None
    """The whole words that count; None: any ending does, as while a word is being typed."""


def wanted_forms(forms: Iterable[str]) -> Wanted | None:
    """Matches any of these words; None if there are none."""
    words = frozenset(forms)
    return Wanted(" " + _shared_start(min(words), max(words)), words) if words else None


def wanted_beginning(letters: str) -> Wanted:
    """Matches any word that begins with these folded letters, or all of these words in a row."""
    return Wanted(f" {letters}")


def _shared_start(one: str, other: str) -> str:
    """The letters with which two words begin alike; of sorted words the ends decide for all."""
    length = len(one)
    while not other.startswith(one[:length]):
        length -= 1  # forms of a word part near their ends
    return one[:length]


class Readied(NamedTuple):
    """What is shown of a card beside its bare words, so that plain string search finds whole words."""

    text: str
    """The title and, from the next line on, the sentences, one a line."""
    words: str
    """The text folded in place, a blank for every sign, and one blank before and behind it all."""
    sentences: int
    """Where the first sentence begins."""
    title: Segments
    """The title with nothing marked, as it is in most hits."""


def readied(title: str, sentences: str) -> Readied:
    """A title and sentences made ready to look for words in, some microseconds for a thousand letters."""
    text = f"{title}\n{sentences}"
    folded = fold_in_place(text)
    words = folded.translate(_BLANKS) if folded.isascii() else _NO_LETTER.sub(" ", folded)
    return Readied(text, f" {words} ", len(title) + 1, (Segment(title),) if title else ())


def highlight(card: Readied, wanted: Sequence[Wanted]) -> tuple[Segments, Segments]:
    """Marks the words looked for.

    Returns:
        The title, and the sentence that holds most of the words, the first of equals; nothing where
        no sentence matches.
    """
    text, words, begins, title = card
    in_title: list[_Place] = []
    places: list[_Place] = []
    lines: dict[int, int] = {}
    for number, each in enumerate(wanted):
        first = words.find(each.start)
        if 0 <= first < begins:
            of_title = words[: begins + 1]
            in_title += _places(of_title, each, of_title.find(each.start))
            first = words.find(each.start, begins)
        if first < 0:
            continue
        if len(wanted) == 1:  # then no sentence holds more of the words than the first
            words = _to_end_of_line(card, each, first)
        found = _places(words, each, first, MOST_LOOKED_AT)
        if " " in each.start[1:]:  # a name of several words: none runs over the end of a sentence
            found = [place for place in found if text.find("\n", *place) < 0]
        for place in found:
            places.append(place)
            line = text.rfind("\n", 0, place[0]) + 1
            lines[line] = lines.get(line, 0) | 1 << number
    if in_title:
        title = _segments(text, 0, begins - 1, in_title)
    return title, _snippet(text, lines, places) if lines else ()


def _to_end_of_line(card: Readied, wanted: Wanted, at: int) -> str:
    """The bare words to the end of the line that has the first match; for a name all of them."""
    if " " in wanted.start[1:]:
        return card.words
    found = _places(card.words, wanted, at, 1)
    end = card.text.find("\n", found[0][0]) if found else -1
    return card.words if end < 0 else card.words[: end + 2]


def _snippet(text: str, lines: Mapping[int, int], places: Sequence[_Place]) -> Segments:
    """The line that holds most of the words, or the part of a long one around the first."""
    start = next(iter(lines))
    if len(lines) > 1:
        start = _fullest(lines)
    end = text.find("\n", start)
    end = len(text) if end < 0 else end
    if len(lines) > 1:
        places = [place for place in places if start <= place[0] < end]
    if end - start > LONGEST_SNIPPET:
        start, end = _shortened(text, start, end, places)
    return _segments(text, start, end, places)


def _fullest(lines: Mapping[int, int]) -> int:
    """The line that holds most of the words, a bit for each; of equals the first."""
    return min(lines, key=lambda line: (-lines[line].bit_count(), line))


def _places(words: str, wanted: Wanted, at: int, most: int = 1_000) -> list[_Place]:
    """Where whole words begin and end in a text that count, from the first likely place on."""
    start, forms = wanted
    length = len(start)
    found: list[_Place] = []
    while at >= 0 and most:
        end = words.find(" ", at + length)
        if forms is None or words[at + 1 : end] in forms:
            found.append((at, end - 1))
            most -= 1
        at = words.find(start, end)
    return found


def _shortened(text: str, start: int, end: int, matches: Sequence[_Place]) -> tuple[int, int]:
    """A part of a long sentence that begins and ends between words."""
    first = min(matches)[0]
    left = max(start, min(first - LONGEST_SNIPPET // 3, end - LONGEST_SNIPPET))
    right = min(end, left + LONGEST_SNIPPET)
    if left > start:
        left = text.find(" ", left, first) + 1 or left
    if right < end:
        right = max(text.rfind(" ", left, right), first + 1)
    return left, right


def _segments(text: str, start: int, end: int, matches: Sequence[_Place]) -> Segments:
    parts: list[Segment] = []
    at = start
    for first, last in sorted(matches):
        if first < at or last > end:
            continue
        if first > at:
            parts.append(Segment(text[at:first]))
        parts.append(Segment(text[first:last], True))
        at = last
    if at < end:
        parts.append(Segment(text[at:end]))
    return tuple(parts)
