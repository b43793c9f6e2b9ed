"""Gathers everything that the plan page shows of one unit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from library.cards.centers import CENTERS, center_title
from library.cards.values import Place
from library.plan.checks import QUICK_CHECKS, SLOW_CHECKS, check_unit
from library.plan.grid import Cell, Grid, Row, plan_grid
from library.plan.reach import only_in_sight
from library.plan.stops import to_fetch
from library.plan.totals import AdultsNeeded, Totals, total
from library.plan.unitplan import UnitPlan, cards_named
from library.room.room import WEEKDAYS, Room
from library.safety.checks import caution, nothing_found
from library.search.conditions import Conditions
from library.search.searching import search
from library.supplies.lines import Supplies
from library.units.calendar import open_days, open_days_of_week, week_days, week_of
from library.units.dressing import dress, props_used
from library.units.findings import Level
from library.units.parsing import parse_unit
from library.units.placed import Placed
from library.units.theme import Theme
from library.units.unit import Unit
from server.cautions import (
    NotMatched,
    not_matched,
)
from server.missingcards import MissingCard, missing_card
from server.placing import find_url
from server.planfindings import (
    PLANNING,
    AllergenCount,
    Counted,
    FindingGroup,
    allergens_looked_for,
    count_findings,
    finding_groups,
    levels_by_row,
    not_known_in,
)
from server.planning import Done
from server.shelf import shelf
from server.words import day_spans, weekday, with_names

NO_ROOM = Room("", centers=tuple(center.key for center in CENTERS))
"""Stands in where no room is loaded: every center, open Monday to Friday, nobody in it."""
MOST_RAIN_CARDS = 200
"""Rain swaps offered in a list; Find knows them all."""


@dataclass(frozen=True, slots=True)
class ShownCell:
    """A cell as the table shows it: neighbouring days with the same, or a week in which days differ."""

    days: tuple[dt.date, ...]
    closed: bool
    entries: tuple[tuple[Placed, str], ...]
    """What stands there, and on which of the days where that is not all of them."""


@dataclass(frozen=True, slots=True)
class DayTick:
    """A day that a placement may stand on."""

    day: dt.date
    ticked: bool
    is_open: bool


@dataclass(frozen=True, slots=True)
class Panel:
    """A placement opened to be changed."""

    placed: Placed
    title: str
    weeks: tuple[tuple[DayTick, ...], ...]
    props: tuple[tuple[str, str, str], ...]
    """Name, the placement's own word, and the word that shows without one."""
    rain: tuple[tuple[str, str], ...]
    """Id and title of the cards that could stand there on a rainy day."""
    copy_to: tuple[int, ...]
    """Weeks in which it does not stand yet."""
    can_push: bool
    last_days: tuple[dt.date, ...]
    """Days until which it could stand; the last one left out."""
    swap_url: str
    rain_url: str
    missing: MissingCard | None
    """What is known of its card, where that is gone."""


@dataclass(frozen=True, slots=True)
class UnitPage:
    """Everything the plan page shows."""

    plan: UnitPlan
    room: Room | None
    fingerprint: str
    grid: Grid
    totals: Totals
    busiest: tuple[AdultsNeeded, ...]
    """Blocks of a day that need more adults than are there; where none does, the fullest one."""
    fetched: Supplies
    """What it needs without what is held back by a stop."""
    beside_water: tuple[str, ...]
    """Cards at standing water that have the adult within sight only."""
    groups: tuple[FindingGroup, ...]
    nothing_found: str
    """Said where no check that is about children found anything."""
    caution: str
    allergens: tuple[AllergenCount, ...]
    """What the children who come must not meet, by allergen."""
    not_known: tuple[str, ...]
    """Things of which nobody knows what they hold."""
    not_matched: NotMatched | None
    """Allergens that no check can find."""
    levels: Mapping[int, tuple[Level, ...]]
    """Row of a placement → the levels of what is marked in the table."""
    ends: dt.date
    days: tuple[dt.date, ...]
    """Open days of the unit."""
    undo: str
    """What could be taken back; empty: nothing."""
    panel: Panel | None
    centers: tuple[str, ...]
    titles: Mapping[str, str]
    """Title of each card the unit names, by id."""

    @property
    def unit(self) -> Unit:
        """The unit."""
        return self.plan.unit

    @property
    def theme(self) -> Theme | None:
        """The theme that dresses it."""
        return self.plan.theme

    def find(self, center: str, week: int | None = None) -> str:
        """The address of Find for a center."""
        return find_url(self.plan, center, week=week)

    @property
    def held(self) -> int:
        """How many things are not fetched while a stop stands on them."""
        return len(self.plan.supplies.lines) - len(self.fetched.lines)

    @property
    def counted(self) -> Counted:
        """How many findings ask for a look."""
        return count_findings(self.groups)

    @property
    def short_of_adults(self) -> tuple[tuple[str, AdultsNeeded], ...]:
        """What is said of the busiest blocks, each once with all its days."""
        found: dict[tuple[str, int, int], list[AdultsNeeded]] = {}
        for each in self.busiest:
            found.setdefault((each.block, each.within_reach, each.there), []).append(each)
        return tuple((day_spans(each.day for each in alike), alike[0]) for alike in found.values())

    def is_empty(self, center: str) -> bool:
        """Whether nothing is planned for a center."""
        return center in self.totals.centers_empty


def working_room(room: Room | None) -> Room:
    """The room a plan is laid out for: one without centers has all of them."""
    if room is None:
        return NO_ROOM
    return room if room.centers else replace(room, centers=NO_ROOM.centers)


def unit_page(unit_id: str, *, row: int | None = None) -> UnitPage:
    """Reads a unit and looks at it in every way there is.

    Args:
        unit_id: ``theme/unit``.
        row: A placement to open; None: none.

    Raises:
        NotFound: If there is no such unit, or no such placement.
    """
    read, room, today = shelf().plans.read(unit_id), shelf().room(), dt.date.today()
    plan = shelf().open_plan(read.unit, working_room(room), today=today)
    checked = check_unit(plan, QUICK_CHECKS)
    done = shelf().plans.last(unit_id, read.fingerprint)
    totals = total(plan, shelf().units.read_all()[0])
    return UnitPage(
        plan=plan,
        room=room,
        fingerprint=read.fingerprint,
        grid=plan_grid(plan.unit, plan.placed, plan.room),
        totals=totals,
        busiest=busiest(totals.adults),
        fetched=to_fetch(plan),
        beside_water=tuple(dict.fromkeys(map(plan.title_of, only_in_sight(plan)))),
        groups=finding_groups(plan, checked, today),
        nothing_found=nothing_found([each for each in QUICK_CHECKS if each.name not in PLANNING]),
        caution=caution(),
        allergens=allergens_looked_for(plan, checked),
        not_known=not_known_in(plan),
        not_matched=not_matched(room, plan.materials),
        levels=levels_by_row(plan, checked),
        ends=week_days(plan.unit.starts, plan.unit.weeks)[-1],
        days=open_days(plan.unit, plan.room),
        undo=what_was_done(done, plan) if done else "",
        panel=open_panel(plan, row) if row is not None else None,
        centers=tuple(dict.fromkeys([*plan.room.centers, *shelf().known_centers()])),
        titles={
            each.placement.activity or "": plan.title_of(each)
            for each in (*plan.placed, *plan.swaps)
        },
    )


@dataclass(frozen=True, slots=True)
class LaterFindings:
    """What comes to the plan page after it is shown."""

    unit: Unit
    fingerprint: str
    groups: tuple[FindingGroup, ...]


def later_findings(unit_id: str) -> LaterFindings:
    """What the checks find that the plan page does not wait for.

    Raises:
        NotFound: If there is no such unit.
    """
    read, today = shelf().plans.read(unit_id), dt.date.today()
    plan = shelf().open_plan(read.unit, working_room(shelf().room()), today=today)
    groups = finding_groups(plan, check_unit(plan, SLOW_CHECKS), today)
    return LaterFindings(read.unit, read.fingerprint, groups)


def shown_cells(row: Row, grid: Grid) -> tuple[ShownCell, ...]:
    """The cells of a center, week by week.

    Where single days of a week differ, narrow columns would break every word; such a week becomes
    one cell whose entries name their days.
    """
    found: list[ShownCell] = []
    for week in grid.weeks:
        cells = [cell for cell in row.cells if cell.days[0] in week]
        runs = [cell for cell in cells if not cell.closed]
        if len(runs) > 1 and any(len(cell.days) == 1 for cell in runs):
            found.append(_whole_week(week, cells))
        else:
            found += [
                ShownCell(cell.days, cell.closed, tuple((each, "") for each in cell.placed))
                for cell in cells
            ]
    return tuple(found)


def _whole_week(week: tuple[dt.date, ...], cells: list[Cell]) -> ShownCell:
    open_there = tuple(day for cell in cells if not cell.closed for day in cell.days)
    placed = dict.fromkeys(each.number for cell in cells for each in cell.placed)
    by_number = {each.number: each for cell in cells for each in cell.placed}
    entries = []
    for number in sorted(placed):
        each = by_number[number]
        days = tuple(day for day in open_there if day in each.days)
        entries.append((each, "" if days == open_there else " ".join(map(weekday, days))))
    return ShownCell(week, False, tuple(entries))


def busiest(needed: Iterable[AdultsNeeded]) -> tuple[AdultsNeeded, ...]:
    """Where more adults are needed than there are; else the block that needs the most."""
    blocks = tuple(needed)
    short = tuple(each for each in blocks if each.needed > each.there)
    return short or tuple(sorted(blocks, key=lambda each: -each.needed)[:1])


def open_panel(plan: UnitPlan, row: int) -> Panel | None:
    """A placement with everything that can be done to it; None if it is gone."""
    placed = next((each for each in plan.placed if each.placement.row == row), None)
    if placed is None:
        return None
    unit, placement = plan.unit, placed.placement
    weeks = range(1, unit.weeks + 1)
    held = set(placed.days)
    return Panel(
        placed=placed,
        title=plan.title_of(placed) if placement.activity else center_title(placement.center),
        weeks=tuple(day_ticks(plan, week, held) for week in weeks),
        props=_prop_lines(placed, plan.theme),
        rain=_rain_cards(placement.center, placement.activity) if placed.card else (),
        copy_to=tuple(
            week for week in weeks if not held & set(open_days_of_week(unit, week, plan.room))
        ),
        can_push=_can_push(placed, unit),
        last_days=placed.days[:-1],
        swap_url=find_url(plan, placement.center, row=row, do="swap"),
        rain_url=find_url(plan, placement.center, row=row, do="rain"),
        missing=missing_card(placement.activity or "", placement.center)
        if placed.is_missing
        else None,
    )


def with_titles(note: str, plan: UnitPlan, *versions: Unit | None) -> str:
    """What was done, with the titles of cards and centers in place of their keys.

    Args:
        note: A phrase about the unit.
        plan: The unit as it is.
        versions: Others that it may have been, so that a card that is out of the plan has its title.
    """
    titles = {
        placed.placement.activity: placed.card.title
        for placed in (*plan.placed, *plan.swaps)
        if placed.placement.activity and placed.card
    }
    for name in {name for unit in versions if unit for name in cards_named(unit)} - {*titles}:
        if card := shelf().cards.card(name):
            titles[name] = dress(card, plan.theme).card.title
    return with_names(note, titles, plan.room.centers)


def what_was_done(done: Done, plan: UnitPlan) -> str:
    """A change that can be taken back, in words: each card by its title, also one that is out now."""
    theme, name = plan.unit.theme, plan.unit.name
    texts = (done.edited.before, done.edited.after)
    return with_titles(done.note, plan, *(parse_unit(text, theme, name).unit for text in texts))


def day_ticks(plan: UnitPlan, week: int, held: set[dt.date]) -> tuple[DayTick, ...]:
    """The weekdays of a week on which the room is usually open, those held with a tick."""
    return tuple(
        DayTick(day, day in held, plan.room.is_open(day))
        for day in week_days(plan.unit.starts, week)
        if WEEKDAYS[day.weekday()] in plan.room.open
    )


def _can_push(placed: Placed, unit: Unit) -> bool:
    """Whether it can stand a week later: it ends before the last week, or stands in every one."""
    placement = placed.placement
    if not placement.weeks and not placement.days:
        return unit.weeks > 1
    last = week_of(unit, placed.days[-1]) if placed.days else None
    return last is not None and last < unit.weeks


def _prop_lines(placed: Placed, theme: Theme | None) -> tuple[tuple[str, str, str], ...]:
    if placed.dressed is None:
        return ()
    bare, own = placed.dressed.bare, placed.placement.props
    words = {**bare.props, **(theme.props if theme else {})}
    return tuple((name, own.get(name, ""), words.get(name, "")) for name in props_used(bare))


def _rain_cards(center: str, activity: str | None) -> tuple[tuple[str, str], ...]:
    """Id and title of the ready cards of a center that can stand indoors."""
    conditions = Conditions(centers=(center,), place=Place.INDOORS.value)
    hits = search(shelf().index.view, conditions, limit=MOST_RAIN_CARDS).hits
    return tuple((hit.card.id, hit.card.title) for hit in hits if hit.card.id != activity)
