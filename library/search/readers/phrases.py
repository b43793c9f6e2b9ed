"""Tables of phrases, looked up at a place of a text; the longest wins.

A look-up reads at most as many tokens as the longest phrase of its table has, so that a pass over a
text takes time in proportion to its length, whatever it says.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from library.search.analysis import STOP_WORDS
from library.search.readers.text import NEGATORS, Text, Token, opening, split_text

T = TypeVar("T")

_LITTLE = STOP_WORDS | NEGATORS


@dataclass(slots=True)
class _Branch(Generic[T]):
    next: dict[str, _Branch[T]] = field(default_factory=dict)
    values: list[T] = field(default_factory=list)


@dataclass(slots=True)
class Phrases(Generic[T]):
    """Phrases with what each of them means."""

    spell: Callable[[Token], str]
    """What of a token has to be equal: its word, or its singular."""
    root: _Branch[T] = field(default_factory=_Branch)
    telling: set[str] = field(default_factory=set)
    """One word of each phrase, the least likely elsewhere: a text without any of these has no phrase."""

    def add(self, phrase: str, value: T) -> None:
        """Enters a phrase; one phrase may have several meanings."""
        branch = self.root
        tokens = split_text(phrase)
        for token in tokens:
            branch = branch.next.setdefault(self._step(token), _Branch())
        if tokens and value not in branch.values:
            branch.values.append(value)
            self.telling.add(opening(_telling_word(tokens)))

    def opens_in(self, text: Text) -> bool:
        """Whether some thing of a text may be one of these names; False settles it for all of them."""
        return not self.root.next.keys().isdisjoint(text.keys)

    def at(self, text: Text, start: int) -> tuple[list[T], int] | None:
        """The meanings of the longest phrase of untaken tokens that begins here, and its end."""
        tokens, taken = text.tokens, text.taken
        if not 0 <= start < len(tokens) or taken[start]:
            return None
        branch = self.root.next.get(self.spell(tokens[start]))
        best: tuple[list[T], int] | None = None
        place = start + 1
        while branch is not None:
            if branch.values:
                best = (branch.values, place)
            branch = branch.next.get(self._step(tokens[place])) if text.free(place) else None
            place += 1
        return best

    def _step(self, token: Token) -> str:
        stop = "," if token.breaks else ""
        return stop + self.spell(token)


def by_word(token: Token) -> str:
    """A token as it is spelled."""
    return token.word


def by_key(token: Token) -> str:
    """A token in the singular, for names of things."""
    return token.key


def phrases(*lines: str) -> Phrases[str]:
    """A table of phrases without meanings: each line holds some, parted by ``|``."""
    return meanings({"": " | ".join(lines)})


def meanings(table: Mapping[T, str]) -> Phrases[T]:
    """A table from each meaning to its phrases, parted by ``|``."""
    made: Phrases[T] = Phrases(by_word)
    for value, line in table.items():
        for phrase in line.split("|"):
            made.add(phrase, value)
    return made


def names(named: Iterable[tuple[str, T]]) -> Phrases[T]:
    """A table of names of things, in the singular, with what each of them names."""
    made: Phrases[T] = Phrases(by_key)
    for name, value in named:
        made.add(name, value)
    return made


def openings_of(*tables: Phrases[Any], words: Iterable[str] = ()) -> frozenset[str]:
    """All that something may begin with: the phrases of some tables, and some words."""
    firsts = (first for table in tables for first in table.root.next)
    return frozenset(map(opening, (*firsts, *words)))


def telling(*tables: Phrases[Any], words: Iterable[str] = ()) -> frozenset[str]:
    """Words of which one stands in every text that has a phrase of some tables, or some words."""
    found = (word for table in tables for word in table.telling)
    return frozenset((*found, *map(opening, words)))


def _telling_word(tokens: Sequence[Token]) -> str:
    """The longest word, a little one only where there are no others."""
    words = (token.word for token in tokens)
    return max(words, key=lambda word: (word not in _LITTLE, len(word)))


def end_of(table: Phrases[str], text: Text, at: int) -> int | None:
    """Where the longest phrase that begins here ends; None where none does."""
    match = table.at(text, at)
    return match[1] if match else None


def everywhere(table: Phrases[T], text: Text) -> Iterator[tuple[T, int, int]]:
    """Each phrase that is not negated, from left to right, with its first meaning, start and end."""
    at = 0
    while at < len(text):
        match = table.at(text, at)
        if match and not text.negated(at):
            yield match[0][0], at, match[1]
        at = match[1] if match else at + 1
