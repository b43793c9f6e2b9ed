"""Things that a few lines name and that came into no field, so that nothing is dropped without a word."""

from __future__ import annotations

import re
from collections.abc import Iterator

from library.search.joining import WORD
from library.search.question import Question

_SENTENCE = re.compile(r"(?<=[.!?])\s+")
_BEGINS = re.compile(
    r"\b(?:with|using|uses?|needs?|takes?|put out|set out|made (?:of|from)|materials?|bring)\b:?\s*",
    re.IGNORECASE,
)
"""Words behind which a list of things may stand."""
_JOINT = re.compile(
    r"\s*[,;:•+&–—()]\s*|(?:^|\s+)[-*]\s+|\s+(?:and|or|plus|of|on|onto|in|into|inside|over)\s+",
    re.IGNORECASE,
)
_ENDS = re.compile(
    r"(?:^|\s+)(?:to|for|then|while|until|so|at|by|as|when|where|that|which|who|from|of prep)\b.*",
    re.IGNORECASE | re.DOTALL,
)
"""What goes on from a thing to what is done with it."""
_BEFORE = re.compile(
    r"^(?:(?:a|an|the|some|any|and|or|plus|also|their|its|his|her|my|our|of|plenty|lots?|few|bit|"
    r"little|several|each|one|two|three|four|five|six|\d+)\s+)+",
    re.IGNORECASE,
)
_MEASURE = re.compile(
    r"\b(?:(?:cup|spoon|handful|pair|piece|bit|bag|pack|sheet|roll|couple|lot|kind)s?|plenty) of\s+",
    re.IGNORECASE,
)
"""How much of a thing; another "of" parts two things, as in "a bowl of custard"."""
_NOT_THINGS = frozenset(
    "them it this that these those care fun hands fingers feet help time children child an adult "
    "adults you we everyone".split()
)
_NAMES_MOST = 4
"""Words of the longest name of a thing, where no word like "with" says that one stands there."""


def not_understood(question: Question) -> tuple[str, ...]:
    """The things that the lines name in a list and that came into no field, in their words.

    A list stands behind a word like "with", or is a sentence of commas of which something was read.
    Of what can mean several of the library's materials, such as "paint", none is chosen: it stands
    here as well.
    """
    found = [*_things(question), *_of_several(question)]
    return tuple({each.casefold(): each for each in found}.values())


def _of_several(question: Question) -> Iterator[str]:
    for part in question.parts:
        if part.kind == "with" and len(part.says.with_[0]) > 1:
            yield part.shown


def _things(question: Question) -> Iterator[str]:
    read = [span for part in question.parts if part.kind != WORD for span in part.spans]

    def is_read(start: int, end: int) -> bool:
        return any(low < end and start < high for low, high in read)

    for start, sentence in _pieces(question.text, _SENTENCE):
        begins = _BEGINS.search(sentence)
        listed = begins.end() if begins else 0
        pieces = [
            (start + listed + at, thing)
            for at, thing in _names(sentence[listed:])
            if thing.casefold() not in _NOT_THINGS
        ]
        unread = [thing for at, thing in pieces if not is_read(at, at + len(thing))]
        if begins:
            yield from unread
        elif len(unread) < len(pieces) and "," in sentence:
            yield from (thing for thing in unread if len(thing.split()) <= _NAMES_MOST)


def _names(listed: str) -> Iterator[tuple[int, str]]:
    """The names of a list with their places; what only says how many, or goes on, is left away."""
    listed = _MEASURE.sub(lambda match: " " * len(match[0]), listed)
    for start, stretch in _pieces(listed, _BEGINS):
        for at, piece in _pieces(stretch, _JOINT):
            blank = len(piece) - len(piece.lstrip())
            before = _BEFORE.match(piece[blank:])
            skipped = blank + (before.end() if before else 0)
            thing = _ENDS.sub("", piece[skipped:]).strip(" .!?()\"'")
            if thing:
                yield start + at + skipped, thing


def _pieces(text: str, between: re.Pattern[str]) -> Iterator[tuple[int, str]]:
    """The stretches between what divides a text, with where each begins."""
    at = 0
    for match in between.finditer(text):
        yield at, text[at : match.start()]
        at = match.end()
    yield at, text[at:]
