"""Reads what a teacher asks, in plain English, into conditions and the words left over.

Conditions filter, words rank. A word is read as a condition only where it can mean nothing else
nearby; in doubt it stays among the words. No signs or keywords have to be learned.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

from library.materials.words import singular
from library.search.conditions import NOTHING_SAID, Conditions
from library.search.fillers import QUOTED, TITLED, left_over
from library.search.joining import WORD, Part, join, merge, say, spans_of, with_leads
from library.search.readers import (
    adults,
    ages,
    centers,
    domains,
    drafts,
    groups,
    materials,
    mess,
    places,
    prep,
    seasons,
    stock,
    techniques,
)
from library.search.readers.phrases import Phrases
from library.search.readers.text import LONGEST_TEXT, Found, Text, Token, split_text
from library.search.readers.typos import Slips, mended, offered, slips_of
from library.search.striking import strike
from library.search.vocabulary import Vocabulary


class Reader(NamedTuple):
    """One kind of condition."""

    reads: str
    """What it reads, for people."""
    read: Callable[[Text, Vocabulary], Iterable[Found]]
    words: Iterable[str]
    """Words of its phrases whose slips of typing are mended."""
    told_by: frozenset[str] | Callable[[Vocabulary], Phrases[Any]]
    """Words of which one stands wherever it finds something, or names that it may begin with."""


READERS: tuple[Reader, ...] = (
    Reader("with what we have", stock.read_on_hand, stock.WORDS, stock.TELLING),
    Reader(
        "technique",
        techniques.read_technique,
        techniques.WORDS,
        lambda v: v.technique_phrases,
    ),
    Reader("how close an adult", adults.read_adult, adults.WORDS, adults.TELLING),
    Reader("mess", mess.read_mess, mess.WORDS, mess.TELLING),
    Reader("minutes of prep", prep.read_prep, prep.WORDS, prep.TELLING),
    Reader("ages", ages.read_ages, ages.WORDS, ages.TELLING),
    Reader("children at once", groups.read_group, groups.WORDS, groups.TELLING),
    Reader("drafts", drafts.read_status, drafts.WORDS, drafts.TELLING),
    Reader(
        "materials not wanted",
        materials.read_not_wanted,
        materials.WORDS,
        materials.TELLING_NOT_WANTED,
    ),
    Reader("domains", domains.read_domains, domains.WORDS, lambda v: v.domain_phrases),
    Reader("materials wanted", materials.read_wanted, (), materials.TELLING_WANTED),
    Reader("indoors or outdoors", places.read_place, places.WORDS, places.TELLING),
    Reader("season", seasons.read_season, seasons.WORDS, seasons.TELLING),
    Reader("centers", centers.read_centers, centers.WORDS, lambda v: v.center_phrases),
)
"""Who reads a question, in this order; what one has read the next ones do not see. A new kind of
condition is one line here and one function, with words of which it needs one; how it joins the sentence
stands in ``joining.KINDS``."""

_BY_WORDS = [(at, each.told_by) for at, each in enumerate(READERS) if not callable(each.told_by)]
_TOLD_BY = {
    word: tuple(place for place, words in _BY_WORDS if word in words)
    for word in frozenset[str]().union(*(words for _, words in _BY_WORDS))
}
"""For each word that tells of a reader the places of all that it tells of."""
_BY_NAMES = [(at, each.told_by) for at, each in enumerate(READERS) if callable(each.told_by)]

_QUOTED = re.compile(r"“([^“”]*)”|(?<!\w)\"([^\"]*)\"(?!\w)")


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A word that may be a slip of typing in a condition."""

    typed: str
    instead: str
    text: str
    """The question with the word put right."""


@dataclass(frozen=True, slots=True)
class Question:
    """What was asked, as read."""

    text: str
    """What was asked, at most 2,000 signs of it."""
    conditions: Conditions
    words: tuple[str, ...]
    """What is left, in order, in lower case."""
    parts: tuple[Part, ...]
    """What was understood, in the order in which the sentence says it."""
    did_you_mean: tuple[Suggestion, ...] = ()
    """For words that are nearly a word of a condition, too doubtful to be read as one."""
    vocabulary: Vocabulary = field(repr=False, compare=False, kw_only=True)

    def sentence(self) -> str:
        """One sentence that says what was understood and reads back to the same conditions."""
        return say(self.parts)

    def without(self, part: Part) -> str:
        """The text of the question with one part struck out and all else left as it was asked."""
        left = [each for each in self.parts if each is not part]
        struck = strike(self.text, part.spans)
        again = read_question(struck, self.vocabulary)
        if again.conditions == merge(left) and again.words == _words_of(left):
            return struck
        return say(left)


def read_question(text: str, vocabulary: Vocabulary) -> Question:
    """Reads a question, in time proportional to its length.

    Args:
        text: What was typed; what lies behind the first 2,000 signs is left out.
        vocabulary: What the library calls its things.
    """
    reading = Text(text[:LONGEST_TEXT], tuple(_mended(text, vocabulary)))
    _shield_quotes(reading)
    _shield_titles(reading, vocabulary)
    conditions = join(reading, list(_read(reading, vocabulary)))
    left = left_over(reading)
    parts = with_leads((*_word_parts(reading, left), *conditions))
    return Question(
        text=reading.written,
        conditions=merge(parts),
        words=_words_of(parts),
        parts=parts,
        did_you_mean=tuple(_suggestions(reading, left, vocabulary)),
        vocabulary=vocabulary,
    )


def _read(text: Text, vocabulary: Vocabulary) -> Iterator[Found]:
    words: frozenset[str] | None = None
    for place, reader in enumerate(READERS):
        if text.words is not words:  # at first, and where a reader has put a word right
            words, asked = text.words, places_of_readers(text, vocabulary)
        if place in asked:
            for found in reader.read(text, vocabulary):
                text.take(found)
                yield found


def places_of_readers(text: Text, vocabulary: Vocabulary) -> set[int]:
    """The places in :data:`READERS` of those that may find something in a text."""
    places = {place for word in text.words if word in _TOLD_BY for place in _TOLD_BY[word]}
    places.update([place for place, names in _BY_NAMES if names(vocabulary).opens_in(text)])
    return places


def _shield_quotes(text: Text) -> None:
    """Words in quotation marks are a name, and no condition."""
    if '"' not in text.written and "“" not in text.written:
        return
    for match in _QUOTED.finditer(text.written):
        within = [
            at
            for at, token in enumerate(text.tokens)
            if match.start() < token.start and token.end < match.end()
        ]
        text.shield(within, QUOTED)


def _shield_titles(text: Text, vocabulary: Vocabulary) -> None:
    """A card is found by its name: "No-cook soup" asks for no cooking time.

    A title that is nothing but conditions ("Quick water play") is taken for a name only where it is
    the whole question.
    """
    at = 0
    while at < len(text):
        end = vocabulary.titles.end_of(text, at) or at + 1
        whole = (at, end) == (0, len(text))
        if end - at > 1 and (whole or _says_more(text.tokens[at:end], vocabulary)):
            text.shield(range(at, end), TITLED)
        at = end


def _says_more(tokens: tuple[Token, ...], vocabulary: Vocabulary) -> bool:
    """Whether something is left of these words when the readers have read them."""
    alone = Text("", tokens)
    if not left_over(alone):
        return False  # readers only take words away
    for _ in _read(alone, vocabulary):
        pass
    return bool(left_over(alone))


def _word_parts(text: Text, left: Iterable[int]) -> Iterator[Part]:
    for at in left:
        shown = f"“{_spelled(text.tokens[at])}”"
        yield Part(WORD, "", shown, spans_of(text, (at,)), NOTHING_SAID)


def _spelled(token: Token) -> str:
    return token.written.lower().replace("’", "'")


def _words_of(parts: Iterable[Part]) -> tuple[str, ...]:
    return tuple(part.shown[1:-1] for part in parts if part.kind == WORD)


@cache
def _condition_words() -> Slips:
    return slips_of(word for reader in READERS for word in reader.words)


def _mended(text: str, vocabulary: Vocabulary) -> Iterator[Token]:
    """The words of a text, those put right that can only be a slip in a condition."""
    for token in split_text(text):
        meant = mended(token.word, _condition_words(), vocabulary.is_meant)
        yield token._replace(word=meant, key=singular(meant)) if meant else token


def _suggestions(text: Text, left: Iterable[int], vocabulary: Vocabulary) -> Iterator[Suggestion]:
    for at in left:
        token = text.tokens[at]
        if text.taken[at]:
            continue
        for word in offered(token.word, _condition_words(), vocabulary.is_meant):
            put_right = text.written[: token.start] + word + text.written[token.end :]
            yield Suggestion(token.word, word, put_right)
