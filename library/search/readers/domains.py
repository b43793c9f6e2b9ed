"""What children practice: words for goals of a framework, such as "fine motor" and "counting"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("motor counting literacy language development".split())
"""Words whose slips of typing are mended."""

_PLAIN = frozenset("counting literacy math mathematics numeracy".split())
"""Single words that mean a domain by themselves; others need a sign beside them."""
_BEFORE = frozenset(
    """
    practice practicing practices build building builds develop developing develops strengthen
    strengthening support supporting supports encourage encouraging foster fostering goal goals domain
    """.split()
)
_BEHIND = frozenset("skill skills development practice goal goals domain area work stuff".split())


def read_domains(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """Domains and goals that are named in everyday words."""
    at = 0
    while at < len(text):
        match = vocabulary.domain_phrases.at(text, at)
        if match is None:
            at += 1
            continue
        (codes, *_), end = match
        start, stop = _with_signs(text, at, end)
        center = vocabulary.center_phrases.at(text, at)
        alone = end - at > 1 or text.word(at) in _PLAIN
        signed = (start, stop) != (at, end) or (alone and (center is None or center[1] < end))
        if signed and not text.negated(at):
            shown = " ".join(text.word(place) for place in range(at, end))
            yield Found("domains", tuple(range(start, stop)), Conditions(domains=codes), shown)
        at = end


def _with_signs(text: Text, start: int, end: int) -> tuple[int, int]:
    first, stop = start, end
    if text.word(start - 1) in _BEFORE and text.free(start - 1) and not text.breaks(start):
        first = start - 1
    if text.word(end) in _BEHIND and text.free(end) and not text.breaks(end):
        stop = end + 1
    return first, stop
