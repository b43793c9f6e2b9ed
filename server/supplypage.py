"""Gathers what the pages of a unit's supplies show, and their rows for spreadsheets."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from library.materials.material import CARD_STOCK, PLAIN_PAPER
from library.paper.sheet import LEAST_MARGIN, LETTER, PAPERS, Paper
from library.paper.sheets import SHEETS
from library.paper.tables import Table, Value, table
from library.plan.prepneeds import WantedForPrep, day_to_order, wanted_for_prep
from library.plan.stops import HeldBack, held_back, to_fetch
from library.plan.unitplan import UnitPlan
from library.room.closet import mark_of_stock
from library.room.room import Room
from library.safety.checks import caution
from library.store.problems import Problem
from library.supplies.bins import Walk, walk
from library.supplies.borrowing import ToBorrow, to_borrow
from library.supplies.checks import check_durables
from library.supplies.lines import Supplies, SupplyLine
from library.supplies.needs import FROM_THE_TAP
from library.supplies.packing import Packing, needed_next, packing
from library.supplies.printing import ToPrint, sheets_by_stock, to_print
from library.supplies.reckoning import Reckoned, reckon
from library.supplies.sharing import claim_words
from library.supplies.shopping import (
    Shopping,
    ToGet,
    is_lent,
    is_printed,
    packed,
    shopping,
)
from library.units.calendar import following, last_open_day
from library.units.findings import Finding
from library.units.unit import Unit
from server.printing import Wishes, made_sheet, print_job
from server.shelf import shelf
from server.unitpage import working_room

PARTS: dict[str, str] = {
    "needs": "What it needs",
    "shopping": "Shopping",
    "to-print": "To print",
    "to-borrow": "To borrow",
    "closet": "Closet",
    "pack-away": "Pack away",
}
"""Name in the address and title of each list."""
LAST = dt.date.max
PRINTED = ("posted-plan", "setup-sheets", "shelf-labels", "bin-labels")
"""Sheets of the unit that are printed for it once."""


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A sheet of the Print page as the list to print shows it."""

    title: str
    name: str
    pages: int
    paper: str


@dataclass(frozen=True)
class SupplyPage:
    """Everything the lists of a unit's supplies show."""

    plan: UnitPlan
    room: Room | None
    part: str
    today: dt.date
    sharing: tuple[Room, ...]
    """The other rooms that share the closet."""
    paper: Paper = LETTER
    """What the printer is loaded with."""

    @property
    def unit(self) -> Unit:
        """The unit."""
        return self.plan.unit

    @property
    def supplies(self) -> Supplies:
        """What it needs."""
        return self.plan.supplies

    @cached_property
    def held(self) -> tuple[HeldBack, ...]:
        """What is not fetched while a stop stands on it."""
        return held_back(self.plan)

    @cached_property
    def fetched(self) -> Supplies:
        """What it needs without what is held back."""
        return to_fetch(self.plan)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What could not be counted, or not be added."""
        return (*self.supplies.cannot_add, *self.supplies.problems)

    @cached_property
    def for_prep(self) -> Mapping[str, WantedForPrep]:
        """What the planned prep wants earlier than its order is counted from, by item."""
        return wanted_for_prep(self.plan, self.fetched.lines) if self.room else {}

    @property
    def missing(self) -> tuple[SupplyLine, ...]:
        """What the shelf lacks, what is to be ordered first on top."""
        return tuple(sorted(self.fetched.short, key=lambda each: self.order_by(each) or LAST))

    def order_by(self, line: SupplyLine) -> dt.date | None:
        """The day to order a thing by, earlier than its first use asks for where prep begins earlier."""
        return day_to_order(line, self.for_prep)

    is_printed = staticmethod(is_printed)
    is_lent = staticmethod(is_lent)

    def errands(self) -> tuple[tuple[dt.date | None, tuple[ToGet, ...]], ...]:
        """What to fetch by the day to order it, the first day first."""
        return self.shopping().by_date(self.order_by)

    @property
    def from_the_tap(self) -> str:
        """What nobody fetches, whatever is short."""
        return FROM_THE_TAP

    @property
    def there(self) -> tuple[SupplyLine, ...]:
        """What the shelf has enough of."""
        short = {line.item for line in self.fetched.short}
        return tuple(line for line in self.fetched.lines if line.item not in short)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is short on one day; what is late for ordering says so on its own line.

        What is held back says so above all lists.
        """
        held = {each.line.item for each in self.held}
        found = check_durables(self.supplies, self.plan.claims)
        return tuple(each for each in found if each.item not in held)

    @property
    def caution(self) -> str:
        """What no check can know."""
        return caution()

    def title_of(self, activity: str) -> str:
        """What a card is called in the theme's dress."""
        placed = (each for each in self.plan.placed if each.placement.activity == activity)
        return next((self.plan.title_of(each) for each in placed), activity)

    def titles(self, line: SupplyLine) -> str:
        """What a thing is for."""
        return ", ".join(map(self.title_of, line.activities))

    def reckon(self, line: SupplyLine) -> Reckoned:
        """How the numbers of a line came about."""
        return reckon(line, self.title_of)

    def claims(self, line: SupplyLine) -> tuple[str, ...]:
        """What the rooms that share the closet take of a thing on the same days."""
        return claim_words(line, self.plan.claims)

    def mark(self, line: SupplyLine) -> str:
        """The stock of a thing as it is shown, to tell whether somebody changed it meanwhile."""
        name_of = self.plan.materials.main_name
        stock = self.room.stock if self.room else ()
        return mark_of_stock([each for each in stock if name_of(each.item) == line.item])

    def arrives(self, line: SupplyLine) -> str:
        """What comes in when a missing thing is fetched, as one types it."""
        amount = packed(line)
        return f"{amount.number} {amount.measure}".strip()

    def shopping(self) -> Shopping:
        """What to fetch."""
        return shopping(self.fetched, self.plan.materials)

    def to_print(self) -> tuple[ToPrint, ...]:
        """What to print for children's hands."""
        edges = 2 * LEAST_MARGIN
        reached = self.paper.width - edges, self.paper.height - edges
        return to_print(self.fetched, reached)

    @property
    def other_papers(self) -> tuple[Paper, ...]:
        """The papers that could be loaded instead."""
        return tuple(each for each in PAPERS.values() if each != self.paper)

    def sheets(self) -> tuple[SheetLine, ...]:
        """The sheets of the Print page with their pages."""
        room = working_room(self.room)
        job = print_job(shelf().settings, self.unit.id, room, Wishes(self.paper), self.today)
        return tuple(
            SheetLine(
                SHEETS[name].title, name, len(made_sheet(name, job).pages), SHEETS[name].paper
            )
            for name in PRINTED
        )

    def sheets_by_stock(self) -> tuple[tuple[str, int], ...]:
        """Everything to print, by what to load; set-up sheets count as card stock."""
        sheets = dict(sheets_by_stock(self.to_print()))
        for each in self.sheets():
            stock = PLAIN_PAPER if each.paper == PLAIN_PAPER else CARD_STOCK
            sheets[stock] = sheets.get(stock, 0) + each.pages
        return tuple(sorted(sheets.items(), reverse=True))

    def to_borrow(self) -> tuple[ToBorrow, ...]:
        """Books to borrow."""
        plan = self.plan
        return to_borrow(plan.unit, plan.theme, self.fetched, plan.room, plan.materials)

    def closet(self) -> Walk:
        """The closet bin by bin."""
        rooms = (self.room, *self.sharing) if self.room else ()
        return walk(self.fetched, rooms, self.plan.materials)

    def packing(self) -> Packing:
        """What is packed away after the unit."""
        after = following(self.unit, shelf().units.read_all()[0])
        wanted: Mapping[str, str] = {}
        if after is not None:
            later = shelf().open_plan(after, working_room(self.room))
            wanted = needed_next(after, later.supplies)
        last = last_open_day(self.unit, self.plan.room)
        return packing(self.supplies, last, wanted)


def supply_page(unit_id: str, part: str, paper: str = "") -> SupplyPage:
    """Reads a unit and what it needs.

    Args:
        unit_id: ``theme/unit``.
        part: One of :data:`PARTS`.
        paper: Name of the paper to print on; Letter unless it is another one that is known.

    Raises:
        NotFound: If there is no such unit.
    """
    room, today = shelf().room(), dt.date.today()
    plan = shelf().open_plan(unit_id, working_room(room), today=today)
    sharing = shelf().rooms.sharing(room) if room else ()
    return SupplyPage(plan, room, part, today, sharing, PAPERS.get(paper, LETTER))


def rows_of(page: SupplyPage) -> tuple[Table, ...]:
    """The rows of a list, for JSON, CSV and XLSX."""
    return TABLES[page.part](page)


def _needs(page: SupplyPage) -> tuple[Table, ...]:
    """Each number stands as it is counted; what is held back has no day to order it by."""
    held = {each.line.item: each.said for each in page.held}
    rows = [
        (
            line.item,
            line.kind.value,
            float(line.need.number),
            line.need.measure,
            float(line.on_hand),
            ", ".join(line.bins),
            float(line.buy),
            line.packs,
            None if line.cost is None else float(line.cost),
            _order_day(line, held),
            page.titles(line),
            "; ".join(page.reckon(line).need),
            held.get(line.item),
            _prep_day(page, line),
        )
        for line in page.supplies.lines
    ]
    names = "item kind need measure on-hand bin missing packs cost order-by for how stop prep-from"
    return (table("needs", names, rows),)


def _order_day(line: SupplyLine, held: Mapping[str, str]) -> str | None:
    """The day to order by; none for what waits, comes from the tap or is made."""
    if line.order_by is None or line.item in held or not line.is_fetched:
        return None
    return line.order_by.isoformat()


def _prep_day(page: SupplyPage, line: SupplyLine) -> str | None:
    """The day on which the planned prep wants a thing, where that is earlier than its first use."""
    wanted = page.for_prep.get(line.item)
    return wanted.day.isoformat() if wanted else None


def _held(page: SupplyPage) -> tuple[Table, ...]:
    """What stands on no list, and why; no table where nothing is held back."""
    rows = [(each.line.item, ", ".join(each.cards), each.said) for each in page.held]
    return (table("held-back", "item for stop", rows),) if rows else ()


def _shopping(page: SupplyPage) -> tuple[Table, ...]:
    rows = [
        (*_thing(thing, day), page.titles(thing.line), _prep_day(page, thing.line))
        for day, things in page.errands()
        for thing in things
    ]
    names = "order-by place item how-much packs cost left-over for prep-from"
    return (table("shopping", names, rows), *_held(page))


def _thing(thing: ToGet, day: dt.date | None) -> tuple[Value, ...]:
    line = thing.line
    return (
        day.isoformat() if day else None,
        thing.place,
        line.item,
        thing.how_much,
        line.packs,
        None if line.cost is None else float(line.cost),
        str(thing.left_over) if thing.left_over.number else None,
    )


def _to_print(page: SupplyPage) -> tuple[Table, ...]:
    rows = [
        (each.line.item, each.how, each.sheets, each.stock, page.titles(each.line))
        for each in page.to_print()
    ]
    sheets = [(each.title, each.pages, each.paper) for each in page.sheets()]
    return (
        table("to-print", "item how sheets paper for", rows),
        table("sheets", "sheet pages paper", sheets),
    )


def _to_borrow(page: SupplyPage) -> tuple[Table, ...]:
    rows = [
        (
            each.title,
            each.author,
            each.isbn,
            str(each.many),
            ", ".join(each.uses),
            each.dates.ask_by.isoformat(),
            each.dates.fetch_from.isoformat(),
            each.dates.fetch_by.isoformat(),
            each.dates.back_by.isoformat(),
            "renew" if each.dates.renew else None,
        )
        for each in page.to_borrow()
    ]
    names = "title author isbn how-many for ask-by fetch-from fetch-by back-by renew"
    return (table("to-borrow", names, rows),)


def _closet(page: SupplyPage) -> tuple[Table, ...]:
    rows = [
        (
            each.name,
            kept.stock.item,
            str(kept.stock.amount),
            str(kept.stock.shelved),
            str(kept.line.need) if kept.line else None,
            page.titles(kept.line) if kept.line else None,
            kept.room,
        )
        for each in page.closet().bins
        for kept in (*each.taken, *each.other)
    ]
    return (table("closet", "bin item in-all in-the-bin needed for room", rows),)


def _pack_away(page: SupplyPage) -> tuple[Table, ...]:
    found = page.packing()
    rows: list[tuple[Value, ...]] = [
        (name, each.item, each.amount, each.after.isoformat(), each.wash, None)
        for name, things in found.bins
        for each in things
    ]
    rows += [
        (None, each.item, each.amount, each.after.isoformat(), each.wash, each.stays)
        for each in found.out
    ]
    return (table("pack-away", "bin item amount after wash stays", rows),)


TABLES: dict[str, Callable[[SupplyPage], tuple[Table, ...]]] = {
    "needs": _needs,
    "shopping": _shopping,
    "to-print": _to_print,
    "to-borrow": _to_borrow,
    "closet": _closet,
    "pack-away": _pack_away,
}
"""Name of each list → its rows."""
