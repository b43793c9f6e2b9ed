"""Words in a text: which phrases stand in it, and which are only said not to be there.

What the phrases mean is ``hazards``. Nothing here guesses at grammar: a phrase counts unless one
of a few plain signs says that it is absent.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple, TypeAlias

from library.materials.words import singular

Phrase: TypeAlias = tuple[str, ...]
"""Words of a phrase, lower case, singular."""


class Token(NamedTuple):
    """One word of a text."""

    word: str
    """Lower case, singular."""
    clause: int
    """Number of the clause it stands in; full stops, colons and the like begin another."""
    after_comma: bool
    hyphened: bool
    """Joined to the word before by a hyphen."""


_PART = re.compile(
    r"(?P<word>[^\W_]+(?:['’][^\W_]+)?)|(?P<stop>[.;:!?()—|\"“”]+|\n\s*\n|\n#)|(?P<comma>,)"
)


@lru_cache(maxsize=4096)
def tokens(text: str) -> tuple[Token, ...]:
    """The words of a text in order."""
    text = text.casefold()
    found: list[Token] = []
    clause, comma, end = 0, False, -1
    for part in _PART.finditer(text):
        kind = part.lastgroup
        if kind == "word":
            start = part.start()
            hyphened = start == end + 1 and text[end] == "-"
            found.append(Token(_one(part.group()), clause, comma, hyphened))
            comma, end = False, part.end()
        elif kind == "stop":
            clause += 1
        else:
            comma = True
    return tuple(found)


def phrase(text: str) -> Phrase:
    """A phrase as it is looked for."""
    return tuple(token.word for token in tokens(text))


@lru_cache(maxsize=8192)
def _one(word: str) -> str:
    return singular(word.replace("’", "'").removesuffix("'s"))


def stands_at(words: Sequence[Token], start: int, looked_for: Phrase) -> bool:
    """Whether a phrase begins at a word, within one clause."""
    end = start + len(looked_for)
    return (
        end <= len(words)
        and all(words[start + i].word == word for i, word in enumerate(looked_for))
        and words[start].clause == words[end - 1].clause
    )


def is_part_of(words: Sequence[Token], start: int, length: int, wider: Iterable[Phrase]) -> bool:
    """Whether a phrase at a word is a part of one of some wider phrases."""
    return any(
        stands_at(words, first, other)
        for other in wider
        for first in range(max(0, start + length - len(other)), start + 1)
    )


_ABSENT_BEFORE: tuple[Phrase, ...] = (
    ("no",), ("not",), ("never",), ("without",), ("nothing",), ("neither",), ("nor",), ("none",),
    ("avoid",), ("skip",), ("remove",), ("removed",), ("discard",), ("cannot",), ("don't",),
    ("doesn't",), ("isn't",), ("aren't",), ("instead", "of"), ("in", "place", "of"),
    ("rather", "than"), ("free", "of"), ("clear", "of"), ("free", "from"), ("leave", "out"),
    ("leave", "off"), ("left", "out"), ("throw", "away"), ("throw", "out"), ("check", "for"),
    ("in", "lieu", "of"), ("keep", "out"), ("other", "than"),
)  # fmt: skip
"""Signs before a phrase that it is absent."""

_ABSENT_AFTER: tuple[Phrase, ...] = (
    ("is", "not"), ("are", "not"), ("isn't",), ("aren't",), ("stay", "out"), ("stay", "away"),
    ("is", "left", "out"), ("are", "left", "out"), ("have", "no", "place"), ("has", "no", "place"),
    ("do", "not", "belong"), ("doe", "not", "belong"), ("is", "never"), ("are", "never"),
)  # fmt: skip
"""Signs right behind a phrase that it is absent."""

_PASSED_OVER = frozenset(
    "a an the any of for to need needed use used with real small loose little play more such put "
    "out give hand offer bring add let set have child children and or them in on there".split()
)
"""Words that may stand between a sign and the phrase without breaking the tie."""


def is_denied(words: Sequence[Token], start: int, length: int) -> bool:
    """Whether the text says that what a phrase names is absent.

    "No glitter needed", "without paint, beads or glitter", "glitter-free", "glitter is not
    needed", "instead of marbles". At most one word that carries meaning stands between the sign
    and the phrase, counted anew after each comma, "and" or "or" of a list.
    """
    end = start + length
    if end < len(words) and words[end].word == "free" and words[end].hyphened:
        return True
    if any(stands_at(words, end, sign) for sign in _ABSENT_AFTER) and (
        words[end].clause == words[start].clause
    ):
        return True
    meaning = 0
    for at in range(start - 1, -1, -1):
        if words[at].clause != words[start].clause or meaning > 1:
            return False
        if any(_ends_at(words, at, sign) for sign in _ABSENT_BEFORE):
            return True
        if words[at + 1].after_comma or words[at].word in {"and", "or", "nor"}:
            meaning = 0
        if words[at].word not in _PASSED_OVER:
            meaning += 1
    return False


def _ends_at(words: Sequence[Token], last: int, sign: Phrase) -> bool:
    first = last - len(sign) + 1
    return first >= 0 and stands_at(words, first, sign)
