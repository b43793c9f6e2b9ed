"""The conditions a question sets: one value, whatever words they were asked in.

Nothing here reads text or knows the index. A condition that was not said is ``None``, empty or
False, and then filters nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Any, TypeVar

T = TypeVar("T")

OLDEST_MONTHS = 216
"""Upper end of an age range that was asked for without one: the highest age a card may state."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What must hold for a card to be a match. Everything that was said has to hold at once."""

    prep_max: int | None = None
    """Minutes of prep, at most; 0 is no prep."""
    prep_min: int | None = None
    """Minutes of prep, at least."""
    age_months: int | None = None
    """One age in completed months, to lie in the card's range. Never together with age_range."""
    age_range: tuple[int, int] | None = None
    """Lowest and highest age in months, both included; the card's range must overlap it."""
    centers: tuple[str, ...] = ()
    """Keys of centers. Any of them counts, and any center of a card."""
    with_: tuple[tuple[str, ...], ...] = ()
    """Materials wanted, by main name. Each entry is a group of which one is enough ("with paint":
    any paint); every group has to be met ("with sponges and rice": both)."""
    without: tuple[str, ...] = ()
    """Main names of materials, and allergens; a card that uses or contains any of them is out. A name
    that the library does not know stands here too: it rules nothing out, and is not searched for."""
    place: str | None = None
    """indoors or outdoors; a card for either place meets both."""
    season: str | None = None
    """spring, summer, fall or winter; a card without seasons meets all."""
    group: int | None = None
    """Children at once."""
    mess_max: int | None = None
    """0 none to 3 change of clothes, at most."""
    adult: str | None = None
    """within reach or within sight."""
    domains: tuple[str, ...] = ()
    """Codes of goals, or what such codes begin with before a hyphen (``IT-PMP`` for ``IT-PMP-6``).
    Any of them counts."""
    technique: str | None = None
    """What the hands do, as the cards write it."""
    status: str | None = None
    """draft or ready. Not said: drafts do not show."""
    on_hand: bool = False
    """Only what can be done with the stock that is passed in."""

    @property
    def is_empty(self) -> bool:
        """Whether nothing was said."""
        return self == NOTHING_SAID

    @property
    def materials_wanted(self) -> tuple[str, ...]:
        """Every main name in ``with_``, once each, in the order they were said."""
        return unique(name for group in self.with_ for name in group)

    def as_read(self) -> dict[str, Any]:
        """What was said, and only that, ready for JSON: lists for tuples, ``with`` for ``with_``."""
        said: dict[str, Any] = {}
        for each in fields(self):
            value = getattr(self, each.name)
            if value == each.default:
                continue
            if each.name == "with_":
                said["with"] = list(self.materials_wanted)
            else:
                said[each.name] = list(value) if isinstance(value, tuple) else value
        return said


NOTHING_SAID = Conditions()
"""The conditions of a question that sets none."""


def unique(values: Iterable[T]) -> tuple[T, ...]:
    """The values once each, in the order of their first mention."""
    return tuple(dict.fromkeys(values))
