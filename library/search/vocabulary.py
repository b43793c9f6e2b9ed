"""What a library calls its things, as the reading of a question needs it.

Built elsewhere from files and handed in; nothing here opens a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from library.materials.words import plural
from library.search.conditions import unique
from library.search.fillers import FILLERS
from library.search.readers.phrases import Phrases, names
from library.search.readers.text import Text, Token, split_text
from library.search.readers.typos import Slips, slips_of
from library.search.titles import AnyOf, Titles, title_list


@dataclass(frozen=True)
class Vocabulary:
    """The names that a question may use."""

    centers: Mapping[str, tuple[str, ...]]
    """Key of a center → what people call it; the first is how the sentence says it."""
    materials: Mapping[str, tuple[str, ...]]
    """Main name of a material → all its names, the main name among them."""
    allergens: tuple[str, ...] = ()
    """Allergens that the library's materials state, beside the usual ones."""
    techniques: tuple[str, ...] = ()
    """Techniques in use on cards."""
    titles: Titles = field(default_factory=AnyOf)
    """Titles of cards: a card is found by its name, whatever words that is made of."""
    domains: Mapping[str, tuple[str, ...]] | None = None
    """Everyday words and names of areas → codes of goals, or what such codes begin with."""
    known_words: frozenset[str] = frozenset()
    """Other words of the library; none of them is taken for a slip of typing."""

    def with_cards(self, techniques: tuple[str, ...], titles: Titles) -> Vocabulary:
        """The same names of things for other cards; what was worked out of the names stays so."""
        other = replace(self, techniques=techniques, titles=titles)
        stays = _OF_THINGS if techniques != self.techniques else (*_OF_THINGS, *_OF_TECHNIQUES)
        other.__dict__.update(
            {name: self.__dict__[name] for name in stays if name in self.__dict__}
        )
        return other

    @cached_property
    def center_phrases(self) -> Phrases[str]:
        """Names of centers, each with the keys it stands for."""
        named = [(name, key) for key, all_ in self.centers.items() for name in (key, *all_)]
        return names(named)

    @cached_property
    def material_phrases(self) -> Phrases[str]:
        """Whole names of materials, each with its main name."""
        return names(self._named_materials())

    @cached_property
    def family_phrases(self) -> Phrases[str]:
        """What names of materials end in, each with the main names of all that end so.

        "Paint" stands for every material one of whose names ends in paint; painter's tape does not.
        """
        return names(
            (ending, main) for name, main in self._named_materials() for ending in _endings(name)
        )

    @cached_property
    def technique_phrases(self) -> Phrases[str]:
        """Techniques in use."""
        return names((technique, technique) for technique in self.techniques if technique)

    @cached_property
    def domain_phrases(self) -> Phrases[tuple[str, ...]]:
        """Words for domains, each with its codes."""
        return names((self.domains or {}).items())

    def has(self, word: str) -> bool:
        """Whether a single word has a meaning in this library, as written or in the singular."""
        return word in self._words or self.titles.has(word)

    def is_meant(self, word: str) -> bool:
        """Whether a word is meant as it is typed: one of the library's, or one that only asks."""
        return word in FILLERS or self.has(word)

    @cached_property
    def _words(self) -> frozenset[str]:
        named = (*self._all_names(), *self.techniques, *(self.domains or {}))
        tokens = [token for name in named for token in split_text(name)]
        return frozenset(_spellings(tokens)) | self.known_words

    @cached_property
    def _by_word(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for name, main in self._named_materials():
            for token in split_text(name):
                found.setdefault(token.key, []).append(main)
        return {word: unique(mains) for word, mains in found.items()}

    def containing(self, word: str) -> tuple[str, ...]:
        """The main names of all materials with a name that has this word, in the singular, in it."""
        return self._by_word.get(word, ())

    @cached_property
    def thing_slips(self) -> Slips:
        """The words of materials' names, for slips of typing where such a name has to stand."""
        named = [token for name, _ in self._named_materials() for token in split_text(name)]
        return slips_of({token.word for token in named} | {plural(token.key) for token in named})

    def center_name(self, key: str) -> str:
        """How a sentence calls a center."""
        called = self.centers.get(key) or (key,)
        return called[0]

    def family_of(self, name: str) -> tuple[str, ...]:
        """The main names of all materials that have a name which ends in this one."""
        match = self.family_phrases.at(Text(name, split_text(name)), 0)
        return tuple(match[0]) if match else ()

    def _named_materials(self) -> Iterable[tuple[str, str]]:
        for main, all_ in self.materials.items():
            for name in unique((main, *all_)):
                yield name, main

    def _all_names(self) -> Iterable[str]:
        for key, all_ in self.centers.items():
            yield from (key, *all_)
        yield from (name for name, _ in self._named_materials())


_OF_THINGS = (
    "center_phrases", "material_phrases", "family_phrases", "domain_phrases", "_by_word",
    "thing_slips",
)  # fmt: skip
_OF_TECHNIQUES = ("technique_phrases", "_words")
"""What is worked out once of a vocabulary's names, and what of techniques besides."""
_PREPOSITIONS = frozenset("at for from in of on with without".split())
"""A name with one of these ends in no kind: a ball of yarn is no yarn."""


def _endings(name: str) -> Iterator[str]:
    """What a name ends in, from all of it to its main word."""
    yield name
    tokens = split_text(name)
    if _PREPOSITIONS.isdisjoint(token.word for token in tokens):
        yield from (name[token.start :] for token in tokens[1:])


def _spellings(tokens: Sequence[Token]) -> Iterable[str]:
    for token in tokens:
        yield token.word
        yield token.key


def vocabulary_of(
    *,
    centers: Mapping[str, Sequence[str]],
    materials: Mapping[str, Sequence[str]],
    allergens: Iterable[str] = (),
    techniques: Iterable[str] = (),
    titles: Iterable[str] = (),
    domains: Mapping[str, Sequence[str]] | None = None,
    known_words: Iterable[str] = (),
) -> Vocabulary:
    """A vocabulary from plain lists and mappings, such as YAML gives."""
    return Vocabulary(
        centers={key: tuple(all_) for key, all_ in centers.items()},
        materials={main: unique((main, *also)) for main, also in materials.items()},
        allergens=unique(allergens),
        techniques=unique(techniques),
        titles=title_list(titles),
        domains={word: tuple(codes) for word, codes in (domains or {}).items()},
        known_words=frozenset(known_words),
    )
