"""Two people changed one plan: both changes together, and what only a person can decide.

A placement is looked at in pieces that are each taken whole; none is put together from two. What is
written is the newer text with the other's changes in it, so everything else in it stays: comments,
unknown keys, look-backs, the text below.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from library.store.errors import WrongUse
from library.store.frontmatter import change_fields
from library.units import editing
from library.units.parsing import UNIT_FIELDS
from library.units.unit import Placement, Unit

Side = Literal["mine", "theirs"]

PIECES: dict[str, tuple[str, ...]] = {
    "center": ("center",),
    "stands": ("activity", "standing", "add"),
    "days": ("weeks", "days", "on"),
    "when": ("when",),
    "props": ("props",),
    "note": ("note",),
    "instead": ("instead",),
}
"""Piece of a placement → the fields that mean something only together."""
WHOLE = "whole"
"""The piece that is the placement itself, where one of the two has it and the other has not."""
FRAME = ("weeks",)
"""What a plan's own edits change besides placements."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A piece that the two versions say differently."""

    placement: Placement | None
    """As it was, or as it was added; None: the unit itself."""
    piece: str
    base: Any
    """What both began with; None: there was none. A placement where the piece is the whole."""
    mine: Any
    theirs: Any
    proposed: Side | None
    """Whose stands unless somebody says otherwise; None: both changed it."""


@dataclass(frozen=True, slots=True)
class Trio:
    """One placement in the three versions; None where it is not in one."""

    base: Placement | None
    mine: Placement | None
    theirs: Placement | None


def differences(base: Unit, mine: Unit, theirs: Unit) -> tuple[Difference, ...]:
    """Every piece in which the two versions differ; the order depends on nothing but the three."""
    found = []
    for name in FRAME:
        was, typed, now = (getattr(unit, name) for unit in (base, mine, theirs))
        if typed != now:
            found.append(Difference(None, name, was, typed, now, _proposed(was, typed, now)))
    for trio in _trios(base, mine, theirs):
        found.extend(_of_placement(trio))
    return tuple(found)


def merge_text(text: str, base: Unit, mine: Unit, theirs: Unit, chosen: Mapping[int, Side]) -> str:
    """The newer text with what was chosen of the other version in it.

    Args:
        text: The file that holds theirs.
        base: The plan that both began with.
        mine: The plan that one of them meant.
        theirs: The plan in the file.
        chosen: Number among the differences → whose; where nothing is said the proposal counts.

    Raises:
        WrongUse: If a piece that both changed was not chosen.
    """
    changes: dict[int, dict[str, Any]] = {}
    removed: list[int] = []
    added: list[Placement] = []
    for number, each in enumerate(differences(base, mine, theirs)):
        side = chosen.get(number, each.proposed)
        if side is None:
            raise WrongUse("both of you changed something; choose one of the two wherever asked")
        if side == "theirs":
            continue
        if each.placement is None:
            text = change_fields(text, {each.piece: each.mine}, UNIT_FIELDS)
        elif each.piece != WHOLE:
            fields = dict(zip(PIECES[each.piece], each.mine, strict=True))
            changes.setdefault(each.placement.row, {}).update(fields)
        elif each.mine is None:
            removed.append(each.theirs.row)
        else:
            added.append(each.mine)
    for row, fields in changes.items():
        text = editing.change(text, row, fields)
    for row in sorted(removed, reverse=True):
        text = editing.remove(text, row)
    for placement in added:
        text = editing.add(text, placement)
    return text


def _of_placement(trio: Trio) -> list[Difference]:
    base, mine, theirs = trio.base, trio.mine, trio.theirs
    if mine is None or theirs is None:
        if mine == theirs:
            return []
        named = theirs or mine
        whole = Difference(named, WHOLE, base, mine, theirs, _proposed(base, mine, theirs))
        return [whole]
    found = []
    for piece in PIECES:
        was, typed, now = (_piece(each, piece) for each in (base, mine, theirs))
        if typed != now:
            found.append(Difference(theirs, piece, was, typed, now, _proposed(was, typed, now)))
    return found


def _piece(placement: Placement | None, piece: str) -> tuple[Any, ...] | None:
    if placement is None:
        return None
    return tuple(getattr(placement, name) for name in PIECES[piece])


def _proposed(base: Any, mine: Any, theirs: Any) -> Side | None:
    return "theirs" if mine == base else "mine" if theirs == base else None


def _trios(base: Unit, mine: Unit, theirs: Unit) -> list[Trio]:
    """The placements of the three versions beside one another."""
    mine_at = _matched(base.placements, mine.placements)
    theirs_at = _matched(base.placements, theirs.placements)
    trios = [
        Trio(
            placement,
            mine.placements[mine_at[at]] if at in mine_at else None,
            theirs.placements[theirs_at[at]] if at in theirs_at else None,
        )
        for at, placement in enumerate(base.placements)
    ]
    new = tuple(p for at, p in enumerate(mine.placements) if at not in mine_at.values())
    others = tuple(p for at, p in enumerate(theirs.placements) if at not in theirs_at.values())
    same = _matched(new, others, LIKENESS[:-1])  # two cards added at one center are two
    trios += [Trio(None, p, others[same[at]] if at in same else None) for at, p in enumerate(new)]
    trios += [Trio(None, None, p) for at, p in enumerate(others) if at not in same.values()]
    return trios


LIKENESS: tuple[Callable[[Placement], Any], ...] = (
    lambda p: (p.center, p.activity, p.standing, p.add, p.weeks, p.days, p.on, p.note, p.when),
    lambda p: (p.center, p.activity),
    lambda p: p.activity,
    lambda p: p.center,
)
"""By what a placement is known again in another version, the surest first."""


def _matched(
    placements: tuple[Placement, ...],
    others: tuple[Placement, ...],
    likenesses: tuple[Callable[[Placement], Any], ...] = LIKENESS,
) -> dict[int, int]:
    """Which placement of another version is which, by their numbers; each at most once."""
    found: dict[int, int] = {}
    for likeness in likenesses:
        for at, placement in enumerate(placements):
            key = likeness(placement)
            if at in found or key is None:
                continue
            free = (n for n in range(len(others)) if n not in found.values())
            same = next((n for n in free if likeness(others[n]) == key), None)
            if same is not None:
                found[at] = same
    return found
