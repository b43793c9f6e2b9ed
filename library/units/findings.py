"""A finding: something in a plan that a person should look at."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """How much a finding asks for."""

    STOP = "stop"
    """Change it before the tray goes out."""
    CAUTION = "caution"
    """Look at it; the room decides."""
    NOTE = "note"
    """Good to know."""


KINDS: Mapping[str, str] = {
    "small-part": "Small parts",
    "ball": "Balls",
    "hazard": "Hazards",
    "allergen": "Allergens",
    "missing": "Missing cards",
    "prep": "Late prep",
    "age": "Ages",
    "adults": "Adults at once",
    "ratio": "Ratio and group size",
    "durable": "Not enough on the shelf",
    "order": "Should have been ordered",
    "closed": "Closed days",
    "water": "Water",
    "food": "Food",
    "cord": "Cords",
    "repeat": "The same work of the hands",
}
"""What pages and sheets call each kind of finding."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to look at, with where it stands, why, and what would mend it."""

    level: Level
    kind: str
    """small-part, ball, hazard, allergen, missing, prep, age, adults, ratio, durable, order, closed,
    water, food, cord, coverage or repeat."""
    text: str
    """What was found, one sentence."""
    why: str
    """The rule behind it, in our own words."""
    source: str
    """Where the rule is published, or 'common practice, no source'."""
    fix: str
    """What would mend it."""
    center: str | None = None
    """Key of the center, where one is meant."""
    activity: str | None = None
    """Id of the card, where one is meant."""
    item: str | None = None
    """Main name of the material, where one is meant."""
    hazard: str | None = None
    """Key of the hazard, where one is meant."""
    confirmed: bool = True
    """False where the wording of the source is from memory."""
    in_the_card: bool = False
    """Whether the card or the entry of a thing has to be mended, which no policy of a room answers for."""
    whose: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Labels of the children meant, each with the allergens; the text ends with them in brackets."""

    @property
    def who(self) -> tuple[str, ...]:
        """``wren: wheat``, one a child."""
        return tuple(f"{label}: {', '.join(allergens)}" for label, allergens in self.whose)

    @property
    def in_the_open(self) -> str:
        """The text where anyone may look over a shoulder: what, never whose."""
        named = dict.fromkeys(each for _, allergens in self.whose for each in allergens)
        return self.text.replace(f"({'; '.join(self.who)})", f"({', '.join(named)})")

    def as_json(self) -> dict[str, str | bool | None]:
        """The finding with the keys of ``unit check --json``."""
        return {
            "level": self.level.value,
            "kind": self.kind,
            "center": self.center,
            "activity": self.activity,
            "item": self.item,
            "text": self.text,
            "why": self.why,
            "source": self.source,
            "fix": self.fix,
            "hazard": self.hazard,
            "confirmed": self.confirmed,
        }


def by_level(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops first, then cautions, then notes; otherwise in the given order."""
    levels = list(Level)
    return tuple(sorted(findings, key=lambda finding: levels.index(finding.level)))
