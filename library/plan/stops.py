"""What must not be put out, or fetched, before the plan is changed; in words for whoever would do it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.plan.unitplan import UnitPlan
from library.safety.checks import placement_findings
from library.supplies.lines import Supplies, SupplyLine
from library.units.dressing import dress
from library.units.findings import KINDS, Finding, Level
from library.units.placed import Placed


def stops_on(
    plan: UnitPlan, placed: Placed, days: Collection[dt.date] | None = None
) -> tuple[Finding, ...]:
    """The stops that stand on a placement, for the children who come on some of its days.

    Args:
        plan: The unit in its room.
        placed: One of its placements or rain swaps.
        days: Which of its days; None: all.
    """
    there = placed.days if days is None else tuple(day for day in placed.days if day in days)
    known = next((found for each, found in plan.looked_at if each is placed), None)
    if known is not None and there == placed.days:
        return tuple(each for found in known for each in found if each.level is Level.STOP)
    looked = placement_findings(replace(placed, days=there), plan.room, plan.materials)
    return tuple(each for each in looked if each.level is Level.STOP)


def stops_instead(
    plan: UnitPlan, placed: Placed, card: Card, days: Collection[dt.date] | None = None
) -> tuple[Finding, ...]:
    """The stops that another card would have in a placement's place; asked before one is named there."""
    there = replace(placed.placement, activity=card.id)
    return stops_on(plan, replace(placed, placement=there, dressed=dress(card, plan.theme)), days)


def stopped_trays(plan: UnitPlan) -> tuple[tuple[Placed, tuple[Finding, ...]], ...]:
    """The placements and rain swaps on which stops stand, each with its stops."""
    every = (each for each in (*plan.placed, *plan.swaps) if each.days)
    return tuple((each, stops) for each in every if (stops := stops_on(plan, each)))


def stops_if_younger(plan: UnitPlan, months: int) -> tuple[tuple[Placed, tuple[Finding, ...]], ...]:
    """The stops that would stand besides, if all children were so many months younger.

    A plan for next year is checked for children who are older by then; whoever takes their places
    may not be.

    Args:
        plan: The unit in its room.
        months: How much younger, in months; 0 or less: nothing is found.
    """
    if months <= 0:
        return ()
    younger = tuple(replace(child, born=_later(child.born, months)) for child in plan.room.children)
    then = replace(plan, room=replace(plan.room, children=younger))
    return tuple(
        (placed, more)
        for placed, stops in stopped_trays(then)
        if (more := _besides(stops, stops_on(plan, placed)))
    )


def _later(born: tuple[int, int], months: int) -> tuple[int, int]:
    years, month = divmod(born[1] - 1 + months, 12)
    return born[0] + years, month + 1


def _besides(stops: Iterable[Finding], known: Iterable[Finding]) -> tuple[Finding, ...]:
    """Stops about something that no known one is about."""
    marks = {(each.kind, each.item, each.hazard) for each in known}
    return tuple(each for each in stops if (each.kind, each.item, each.hazard) not in marks)


def stops_on_card(plan: UnitPlan, activity: str) -> tuple[Finding, ...]:
    """The stops of a card, where every placement of it has one; else its work goes on for the others."""
    places = [p for p in plan.placed if p.days and p.placement.activity == activity]
    found = [stops_on(plan, each) for each in places]
    return tuple(stop for stops in found for stop in stops) if all(found) else ()


def stop_words(stops: Iterable[Finding]) -> str:
    """``metal token and river glass (small parts); flour (allergens)``.

    It names things and rules, never whose allergen it is.
    """
    things: dict[str, list[str]] = {}
    for each in stops:
        about = each.item or (each.hazard or "").replace("-", " ")
        things.setdefault(KINDS.get(each.kind, each.kind).lower(), []).append(about)
    return "; ".join(_with_things(kind, about) for kind, about in things.items())


def _with_things(kind: str, about: Iterable[str]) -> str:
    *most, last = dict.fromkeys(filter(None, about)) or ("",)
    if not last:
        return kind
    return f"{', '.join(most)} and {last} ({kind})" if most else f"{last} ({kind})"


@dataclass(frozen=True, slots=True)
class HeldBack:
    """A thing that is not fetched while a stop stands on it."""

    line: SupplyLine
    cards: tuple[str, ...]
    """Titles of the cards that take it."""

    @property
    def said(self) -> str:
        """What stands in place of how much to get and by when."""
        about = f"{self.line.item} ({', '.join(self.cards)})"
        return f"Do not order: a stop stands on {about}. Choose another card first"


def held_back(plan: UnitPlan) -> tuple[HeldBack, ...]:
    """What no placement may put out, because a stop about that very thing stands on each that takes it.

    What another placement takes without a stop is fetched for that one as before. The need itself
    is counted all the same (SUP1 to SUP28); only what one does about it waits.
    """
    stopped = {
        placed.number: {each.item for each in stops_on(plan, placed)}
        for placed in plan.placed
        if placed.days
    }
    found = []
    for line in plan.supplies.lines:
        uses = [each.placed for each in line.needs if each.placed.days]
        if uses and all(line.item in stopped[each.number] for each in uses):
            titles = tuple(dict.fromkeys(plan.title_of(each) for each in uses))
            found.append(HeldBack(line, titles))
    return tuple(found)


def to_fetch(plan: UnitPlan) -> Supplies:
    """What a unit needs without what is held back, for every list from which somebody fetches."""
    held = {each.line.item for each in held_back(plan)}
    found = plan.supplies
    return replace(
        found,
        lines=tuple(line for line in found.lines if line.item not in held),
        unpriced=tuple(item for item in found.unpriced if item not in held),
    )


def hold_back(findings: Iterable[Finding], plan: UnitPlan) -> Iterator[Finding]:
    """Findings about the shelf: what mends them waits where a stop stands on the thing."""
    found = tuple(findings)
    held = {each.line.item: each for each in held_back(plan)} if found else {}
    for finding in found:
        waits = held.get(finding.item or "")
        yield replace(finding, fix=waits.said) if waits else finding
