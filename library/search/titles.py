"""Titles of cards, so that a card is found by its name whatever words that is made of."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
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
    firsts: Mapping[str, tuple[int, int]]
    """The first word of each key with the places of the keys that begin so, the second not included."""
    counts: Callable[[int], bool] = lambda _: True
    """Whether a card of the title at a place is still there."""

    def end_of(self, text: Text, start: int) -> int | None:
        """The place behind the longest title that begins at a place; None where none does.

        Costs a search of the sorted keys for each token, as long as some title goes on so.
        """
        key, place, best = "", start, None
        at, end = self.firsts.get(text.tokens[start].key, (0, 0))
        while at < end and text.free(place):
            key += f" {text.tokens[place].key}" if key else text.tokens[place].key
            place += 1
            at = bisect_left(self.keys, key, at, end)
            if at < end and self.keys[at] == key:
                best = place if self.counts(at) else best
                at += 1  # titles that go on so stand right behind: nothing sorts before a blank
            if at < end and not self.keys[at].startswith(f"{key} "):
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
        best = None
        for each in self.lists:
            end = each.end_of(text, start)
            if end is not None and (best is None or end > best):
                best = end
        return best

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


def first_words(keys: Sequence[str]) -> dict[str, tuple[int, int]]:
    """For the first word of sorted keys the places of those that begin so.

    ``"leaf"``, ``"leaf rub"``, ``"leafy path"`` stand at 0 to 2 and 2 to 3.
    """
    firsts: dict[str, tuple[int, int]] = {}
    start = 0
    for first, keys_beginning_so in groupby(keys, key=lambda key: key.partition(" ")[0]):
        end = start + sum(1 for _ in keys_beginning_so)
        firsts[first] = (start, end)
        start = end
    return firsts
