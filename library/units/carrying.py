"""Carries placements over to another theme: what dresses well stays, what is tied gets proposals."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.cards.values import Status
from library.materials.words import singular
from library.room.room import Room
from library.units.calendar import require_monday
from library.units.cloning import moved_day, title_for
from library.units.dressing import dress, props_used
from library.units.theme import Theme
from library.units.unit import Placement, Unit

MAX_PROPOSALS = 5
OFTEN = 2
"""How often a card's text names a word of a theme before it is tied to it; once may be chance."""


@dataclass(frozen=True, slots=True)
class Carried:
    """One placement on its way to another theme."""

    placement: Placement
    """As it would stand there; its own props stay behind, since they dressed it for the old theme."""
    tied_by: tuple[str, ...] = ()
    """Why it is tied to the old theme; empty: it dresses well."""
    bare_props: tuple[str, ...] = ()
    """Props that the new theme has no word for, so that the card's own word shows."""
    proposals: tuple[str, ...] = ()
    """Ids of cards to take its place, the likeliest first; only where it is tied or missing."""


def carry_over(
    placements: Iterable[Placement],
    old: Theme,
    new: Theme,
    cards: Mapping[str, Card],
) -> tuple[Carried, ...]:
    """Looks at placements for another theme, in their order; nothing is decided.

    A card is tied to the old theme when it has seasons and the new theme's are none of them, or
    when its own words, undressed, speak of the old theme: in its title, summary or materials, or
    more than once in its text. Standing centers and cards without props
    and without such words stay as they are.

    Args:
        placements: What to take along.
        old: The theme it comes from.
        new: The theme it goes to.
        cards: All cards of the library by id, for proposals.
    """
    chosen = tuple(placements)
    taken = {placement.activity for placement in chosen}
    return tuple(_carry(each, old, new, cards, taken) for each in chosen)


def carried_unit(
    source: Unit,
    chosen: Mapping[int, str | None],
    theme: Theme,
    name: str,
    starts: dt.date,
    room: Room,
) -> Unit:
    """A unit of another theme with the placements that were taken along; nothing is written.

    Single dates go to the same weekday of the same week, as in a clone; own props stay behind.

    Args:
        source: The unit they come from.
        chosen: By row the id of the card that stands there now, or an empty text where the center
            only stands as it is; None, or no entry, leaves a placement out.
        theme: The theme they go to.
        name: Name of the new unit.
        starts: Its first day, a Monday.
        room: The room whose closed days count.

    Raises:
        WrongUse: If the start is no Monday.
    """
    require_monday(starts)
    placements = []
    for old in source.placements:
        card = chosen.get(old.row)
        if card is None:
            continue
        found = {moved_day(day, source, starts, room) for day in old.days}
        days = tuple(sorted(day for day in found if day))
        if old.days and not days:
            continue
        same = card == (old.activity or "")
        placements.append(
            replace(
                old,
                activity=card or None,
                props={},
                days=days,
                note=old.note if same else "",
                instead=old.instead if same else None,
            )
        )
    title = title_for(theme, name)
    return Unit(theme.id, name, title, starts, source.weeks, tuple(placements))


def ties(card: Card, old: Theme, new: Theme) -> tuple[str, ...]:
    """Why a card would look out of place in another theme; empty if nothing ties it."""
    found = []
    seasons = [season.value for season in card.seasons]
    if seasons and new.seasons and not set(seasons) & set(new.seasons):
        found.append(f"it is for {' and '.join(seasons)}")
    spoken = _words_of(old) - _words_of(new)
    named = _counted(" ".join((card.title, card.summary, *(m.item for m in card.materials))))
    told = _counted(card.body)
    found += [
        f"it speaks of {word}" for word in sorted(spoken) if named[word] or told[word] >= OFTEN
    ]
    return tuple(found)


def proposals_for(
    placement: Placement,
    old: Theme,
    new: Theme,
    cards: Mapping[str, Card],
    taken: Iterable[str | None] = (),
) -> tuple[str, ...]:
    """Cards to take a placement's place: same center and technique first, then the same center.

    Only ready cards that nothing ties to the old theme; those whose props the new theme fills come
    first, then by title.
    """
    was = cards.get(placement.activity or "")
    technique = was.technique.casefold() if was else ""
    out = set(taken) | {placement.activity}
    ranked = []
    for card in cards.values():
        if (
            card.id in out
            or card.status is not Status.READY
            or placement.center not in card.centers
        ):
            continue
        if ties(card, old, new):
            continue
        same_hands = bool(technique) and card.technique.casefold() == technique
        dressed = bool(props_used(card)) and not dress(card, new).defaults
        usual = card.centers[0] == placement.center
        ranked.append(((not same_hands, not dressed, not usual, card.title), card.id))
    return tuple(card_id for _, card_id in sorted(ranked)[:MAX_PROPOSALS])


def _carry(
    placement: Placement,
    old: Theme,
    new: Theme,
    cards: Mapping[str, Card],
    taken: set[str | None],
) -> Carried:
    bare = replace(placement, props={}, row=-1)
    if placement.activity is None:
        return Carried(bare)
    card = cards.get(placement.activity)
    if card is None:
        missing = ("its card is missing",)
        return Carried(bare, missing, proposals=proposals_for(placement, old, new, cards, taken))
    tied = ties(card, old, new)
    return Carried(
        bare,
        tied,
        dress(card, new).defaults,
        proposals_for(placement, old, new, cards, taken) if tied else (),
    )


def _counted(text: str) -> Counter[str]:
    """How often each word stands in a text, in the singular."""
    return Counter(singular(word) for word in re.findall(r"[^\W\d_]+", text.casefold()))


def _words_of(theme: Theme) -> set[str]:
    """A theme's single English words, in the singular."""
    words = (text["en"].casefold().strip() for text in theme.words if text.get("en"))
    return {singular(word) for word in words if " " not in word}
