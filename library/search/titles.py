"""Titles of cards, so that a card is found by its name whatever words that is made of."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from library.search.readers.text import Text, split_text


class Titles(Protocol):
    """Where a question names a card."""

    def end_of(self, text: Text, start: int) -> int | None:
        """The place behind the longest title that begins at a place; None where none does."""

    def has(self, word: str) -> bool:
        """Whether a word, as written or in the singular, stands in a title."""


@dataclass(frozen=True, slots=True)
class TitleList:
    """Titles by their keys."""

    keys: Sequence[str]
    """Sorted, each once; see :func:`title_key`."""
    words: frozenset[str]
    firsts: frozenset[str]
    """The first word of each key."""
    counts: Callable[[int], bool] = lambda _: True
    """Whether a card of the title at a place is still there."""

    def end_of(self, text: Text, start: int) -> int | None:
        """The place behind the longest title that begins at a place; None where none does.

        Costs a search of the sorted keys for each token, as long as some title goes on so.
        """
        key, place, best = "", start, None
        if text.key(start) not in self.firsts:
            return None
        while text.free(place):
            key += f" {text.tokens[place].key}" if key else text.tokens[place].key
            place += 1
            at = bisect_left(self.keys, key)
            if at == len(self.keys):
                break
            if self.keys[at] == key:
                best = place if self.counts(at) else best
                at += 1  # titles that go on so stand right behind: nothing sorts before a blank
            if at == len(self.keys) or not self.keys[at].startswith(f"{key} "):
                break
        return best

    def has(self, word: str) -> bool:
        """Whether a word, as written or in the singular, stands in a title."""
        return word in self.words


@dataclass(frozen=True, slots=True)
class AnyOf:
    """The titles of several lists."""

    lists: tuple[Titles, ...] = ()

    def end_of(self, text: Text, start: int) -> int | None:
        """The place behind the longest title of any list that begins at a place."""
        ends = [end for each in self.lists if (end := each.end_of(text, start)) is not None]
        return max(ends, default=None)

    def has(self, word: str) -> bool:
        """Whether a word stands in a title of any list."""
        return any(each.has(word) for each in self.lists)


def title_key(title: str) -> str:
    """What two spellings of a title have in common: its words in lower case and in the singular."""
    return " ".join(token.key for token in split_text(title))


def title_words(titles: Iterable[str]) -> set[str]:
    """The words of titles, as written and in the singular."""
    tokens = (token for title in titles for token in split_text(title))
    return {spelling for token in tokens for spelling in (token.word, token.key)}


def title_list(titles: Iterable[str]) -> TitleList:
    """A list of these titles."""
    known = tuple(titles)
    keys = sorted({key for title in known if (key := title_key(title))})
    return TitleList(keys, frozenset(title_words(known)), first_words(keys))


def first_words(keys: Iterable[str]) -> frozenset[str]:
    """The first word of each key, by which most of a question's words are known to begin no title."""
    return frozenset([key.partition(" ")[0] for key in keys])
