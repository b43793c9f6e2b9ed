"""The published list of hazards, and where a card names one.

``hazards.yaml`` is the list: one entry for each hazard key. A material's own keys always count.
Words count where they stand, in a material's name, a step or the card's text, unless they mean
something else there ("beads of water") or are said not to be there ("no glitter needed").
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from typing import Any

from library.cards.card import Card
from library.safety.wording import Phrase, is_denied, is_part_of, phrase, stands_at, tokens
from library.units.findings import Level


@dataclass(frozen=True, slots=True)
class Band:
    """A level for children under an age."""

    level: Level
    under: int | None
    """Months; None: every age."""


@dataclass(frozen=True, slots=True, eq=False)
class Sense:
    """What is known about some or all words of a hazard."""

    phrases: tuple[Phrase, ...]
    """Counted wherever they stand."""
    endings: tuple[Phrase, ...]
    """Counted only at the end of a material's name."""
    other_senses: tuple[Phrase, ...]
    """Wider phrases in which a word means something else."""
    bands: tuple[Band, ...]
    text: str
    instead: str
    answered: tuple[Phrase, ...] = ()
    """Words of a card's steps that answer it: what is cooked is not raw."""
    source: tuple[str, bool] | None = None
    """Its own source and whether its wording was read; None: the entry's."""

    def level(self, age_months: int) -> Level | None:
        """The level for the youngest child there is; None where nothing is said of that age."""
        for band in self.bands:
            if band.under is None or age_months < band.under:
                return band.level
        return None


@dataclass(frozen=True, slots=True, eq=False)
class Hazard:
    """One entry of the list."""

    key: str
    kind: str
    """Kind of finding: hazard, or food, water or cord."""
    in_childrens_hands: bool
    """Whether only what children meet counts, not an adult's steps or the packing away."""
    senses: tuple[Sense, ...]
    """The first speaks for the key itself."""
    source: str
    confirmed: bool
    """False where the wording of the source is from memory."""
    checked: str
    """Date on which the source was read."""


@dataclass(frozen=True, slots=True)
class Mention:
    """A hazard, the sense in which it is meant, and the words that name it."""

    hazard: Hazard
    sense: Sense
    words: str


def parse_hazards(text: str) -> dict[str, Hazard]:
    """The entries of the list by key, in the order of the file."""
    import yaml

    entries: list[dict[str, Any]] = yaml.load(text, yaml.CSafeLoader)
    return {entry["key"]: _read_entry(entry) for entry in entries}


@cache
def hazards() -> Mapping[str, Hazard]:
    """The list that comes with the program, by key."""
    file = resources.files("library.safety") / "hazards.yaml"
    return parse_hazards(file.read_text(encoding="utf-8"))


def checked_on() -> str:
    """The earliest date on which a source was read: findings are no newer than that."""
    return min(hazard.checked for hazard in hazards().values())


def of_key(key: str) -> Mention:
    """The hazard of a key that a material states by itself."""
    hazard = hazards()[key]
    return Mention(hazard, hazard.senses[0], key.replace("-", " "))


def in_material(name: str) -> tuple[Mention, ...]:
    """The hazards that a material's name points to: words anywhere in it, kinds of thing at its end."""
    return _in_name(" ".join(name.split()))


def in_card(card: Card, more: str = "") -> tuple[Mention, ...]:
    """The hazards that a card's title, text and steps name, each sense once.

    Args:
        card: The card as the children meet it; its materials are not read here.
        more: Further text, such as what is added to a center.
    """
    play, _, away = card.body.partition("\n## Pack away")
    steps = ".\n".join(step.do for step in card.steps)
    found = {m.sense: m for part in (card.title, more, play) for m in _in_text(part)}
    for mention in (*_in_text(steps), *_in_text(away)):
        if not mention.hazard.in_childrens_hands:
            found.setdefault(mention.sense, mention)
    return tuple(found.values())


def in_text(text: str) -> tuple[Mention, ...]:
    """The hazards that a text names, each sense once."""
    return _in_text(text)


def _read_entry(entry: dict[str, Any]) -> Hazard:
    main = {key: value for key, value in entry.items() if key not in {"source", "status"}}
    rows = [main, *entry.get("cases", ())]
    return Hazard(
        key=entry["key"],
        kind=entry.get("kind", "hazard"),
        in_childrens_hands=entry.get("hands") == "children",
        senses=tuple(_read_sense(row) for row in rows),
        source=entry["source"],
        confirmed=entry["status"] == "confirmed",
        checked=entry["checked"].isoformat(),
    )


def _read_sense(row: dict[str, Any]) -> Sense:
    return Sense(
        phrases=_phrases(row.get("words")),
        endings=_phrases(row.get("items")),
        other_senses=_phrases(row.get("but_not")),
        bands=tuple(Band(Level(band["level"]), band.get("under")) for band in row["levels"]),
        text=row["text"],
        instead=row["instead"],
        answered=_phrases(row.get("answered")),
        source=(row["source"], row["status"] == "confirmed") if "source" in row else None,
    )


def _phrases(texts: list[str] | None) -> tuple[Phrase, ...]:
    return tuple(phrase(text) for text in texts or ())


@cache
def _by_first_word() -> dict[str, list[tuple[Phrase, Hazard, Sense]]]:
    """Every phrase of the list by its first word."""
    found: dict[str, list[tuple[Phrase, Hazard, Sense]]] = {}
    for hazard in hazards().values():
        for sense in hazard.senses:
            for words in sense.phrases:
                found.setdefault(words[0], []).append((words, hazard, sense))
    return found


@lru_cache(maxsize=4096)
def _in_text(text: str) -> tuple[Mention, ...]:
    """Every hazard that a text names, each sense once."""
    words = tokens(text)
    known = _by_first_word()
    found: dict[Sense, Mention] = {}
    for start, token in enumerate(words):
        for looked_for, hazard, sense in known.get(token.word, ()):
            if (
                sense not in found
                and stands_at(words, start, looked_for)
                and not is_part_of(words, start, len(looked_for), sense.other_senses)
                and not is_denied(words, start, len(looked_for))
            ):
                found[sense] = Mention(hazard, sense, " ".join(looked_for))
    return tuple(found.values())


@lru_cache(maxsize=4096)
def _in_name(name: str) -> tuple[Mention, ...]:
    """Every hazard that a material's name points to: words anywhere, kinds of thing at its end."""
    words = tokens(name)
    found = {mention.sense: mention for mention in _in_text(name)}
    for hazard in hazards().values():
        for sense in hazard.senses:
            for ending in sense.endings:
                start = len(words) - len(ending)
                if (
                    sense not in found
                    and start >= 0
                    and stands_at(words, start, ending)
                    and not is_part_of(words, start, len(ending), sense.other_senses)
                    and not is_denied(words, start, len(ending))
                ):
                    found[sense] = Mention(hazard, sense, " ".join(ending))
    return tuple(found.values())
