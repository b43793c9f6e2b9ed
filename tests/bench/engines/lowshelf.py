"""Lowshelf itself, with the reading of the question included."""

from __future__ import annotations

from library.search.lexicon import vocabulary_of
from library.search.question import read_question
from library.search.searching import SearchResult, search
from tests.bench.engines.common import HITS, Answer, Ask, Shelf


class Lowshelf:
    """Reads the question, then searches the arrays."""

    name = "Lowshelf"
    about = "question reading included"

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view
        self._vocabulary = vocabulary_of(shelf.view, {})

    def search(self, ask: Ask) -> Answer:
        question = read_question(ask.text, self._vocabulary)
        words = " ".join(question.words)
        result = search(self._view, question.conditions, words, HITS, typing=ask.typing)
        return counted(result)


class Unread:
    """The same without reading the question, as the others are measured."""

    name = "Lowshelf, question read before"
    about = "as all others"

    def __init__(self, shelf: Shelf) -> None:
        self._view = shelf.view

    def search(self, ask: Ask) -> Answer:
        return counted(search(self._view, ask.conditions, ask.words, HITS, typing=ask.typing))


def counted(result: SearchResult) -> Answer:
    """The answer in the form that all engines give."""
    counts = sum(len(values) for values in result.counts.values())
    snippets = sum(1 for hit in result.hits if hit.snippet)
    return Answer(result.total, tuple(hit.card.id for hit in result.hits), counts, snippets)
