"""What the hands do, as the cards write it: "sponge squeezing", "technique: tearing"."""

from __future__ import annotations

from collections.abc import Iterator

from library.search.conditions import Conditions
from library.search.readers.text import Found, Text
from library.search.vocabulary import Vocabulary

WORDS: tuple[str, ...] = tuple("technique".split())
"""Words whose slips of typing are mended."""

_CUES = frozenset({"technique", "techniques"})


def read_technique(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    """A technique in use. Of one word only beside "technique": "jumping" may be said of any card."""
    at = 0
    while at < len(text):
        match = vocabulary.technique_phrases.at(text, at)
        if match is None or text.negated(at):
            at += 1
            continue
        (technique, *_), end = match
        start, stop = _with_cue(text, at, end)
        if end - at > 1 or (start, stop) != (at, end):
            tokens = tuple(range(start, stop))
            yield Found("technique", tokens, Conditions(technique=technique), technique)
        at = end


def _with_cue(text: Text, start: int, end: int) -> tuple[int, int]:
    if text.word(start - 1) in _CUES and text.free(start - 1):
        return start - 1, end
    if text.word(end) in _CUES and text.free(end):
        return start, end + 1
    return start, end
