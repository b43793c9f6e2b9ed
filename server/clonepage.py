"""Gathers what the clone page shows: each line of last year's plan and what becomes of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from urllib.parse import parse_qsl, urlencode, urlsplit

from library.plan.checks import CHECKS
from library.plan.cloning import CheckedClone, CloneLine, look_at_clone
from library.plan.stops import stop_words, stops_if_younger
from library.plan.unitplan import UnitPlan
from library.room.room import WEEKDAYS, Room
from library.room.times import show_day
from library.safety.checks import caution, nothing_found
from library.store.errors import NotFound
from library.units.calendar import last_open_day, placement_days
from library.units.cloning import AS_PROPOSED, Choice, Noted, Why
from library.units.findings import Finding
from library.units.theme import Theme
from library.units.unit import Again, Placement, Unit
from server.cloneasking import CloneAsk
from server.placing import find_url
from server.planfindings import (
    PLANNING,
    Counted,
    FindingGroup,
    FindingLine,
    count_findings,
    finding_groups,
)
from server.shelf import shelf
from server.unitpage import DayTick, day_ticks, working_room
from server.words import day, weekday


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One placement of the source as the page shows it."""

    row: int
    center: str
    title: str
    """The card as it will be called."""
    before: str
    """What it was called, where another card took its place."""
    old_days: str
    new_days: str
    """When it will stand; empty where it is left out."""
    lost: str
    """The closed days among them."""
    loses_most: bool
    """Whether half of its days or more are closed."""
    kept: bool
    why_out: str
    """Why it is left out."""
    remarks: tuple[str, ...]
    """What was learned, what changed, which days moved or are lost."""
    said: str
    """What the look-back noted beside a plain yes; it is read here and goes into no note (CLONE6)."""
    ages: tuple[int, int, int]
    """How many fit, are younger, are older; counts, never labels."""
    new: tuple[Finding, ...]
    """Findings of this line that are new."""
    touched: bool
    """Whether a person chose something for it."""
    switch: str
    """The address that leaves it out, or keeps it; empty where only other days could keep it."""
    open: str
    """The address with its panel open."""

    @property
    def asks(self) -> bool:
        """Whether it is more than a line that goes along as it was."""
        more = self.why_out or self.remarks or self.new or self.touched
        return bool(more or self.ages[1] or self.loses_most)


@dataclass(frozen=True, slots=True)
class LinePanel:
    """A line opened to be changed."""

    line: ShownLine
    weeks: tuple[tuple[DayTick, ...], ...]
    learned: str
    """What the look-back says of it, where that goes into its note."""
    with_note: bool
    swap_url: str
    as_proposed: str
    """The address without any choice for this line."""


@dataclass(frozen=True, slots=True)
class ClonePage:
    """Everything the clone page shows."""

    ask: CloneAsk
    unit: Unit
    """The source."""
    made: Unit
    room: Room | None
    rooms: tuple[str, ...]
    themes: tuple[Theme, ...]
    lines: tuple[ShownLine, ...]
    """Those that ask for a look, in walking order."""
    plain: tuple[ShownLine, ...]
    """Those that go along as they were."""
    counts: tuple[str, ...]
    """What happens, in a few words each."""
    closed: tuple[dt.date, ...]
    looked_back: bool
    edits_known: bool
    last_day: dt.date | None
    """The source's last open day, since when cards may have been edited."""
    groups: tuple[FindingGroup, ...]
    if_younger: tuple[str, ...]
    """What would stop it besides, if children as young as those here today came."""
    new: tuple[Finding, ...]
    nothing_found: str
    caution: str
    panel: LinePanel | None
    address: str

    @property
    def counted(self) -> Counted:
        """How many findings ask for a look."""
        return count_findings(self.groups)

    def is_new(self, line: FindingLine) -> bool:
        """Whether the source did not have something that a line says in its time."""
        return any(each in self.new for each in line.found)

    def new_lines(self, group: FindingGroup) -> tuple[FindingLine, ...]:
        """What of a group the source did not have."""
        return tuple(filter(self.is_new, group.lines))


def checked_clone(ask: CloneAsk) -> CheckedClone:
    """The clone that is asked for, checked; nothing is written.

    Raises:
        WrongUse: If it cannot be made as asked.
    """
    room = working_room(_room(ask.room))
    stood_in = working_room(_room(ask.stood_in)) if ask.stood_in else None
    return look_at_clone(
        shelf().paths,
        ask.source.id,
        ask.to,
        ask.starts,
        room,
        stood_in=stood_in,
        choices=ask.choices,
        today=dt.date.today(),
    )


def clone_page(ask: CloneAsk, row: int | None) -> ClonePage:
    """The page for what is asked.

    Args:
        ask: What the address says.
        row: The line to open; None: none.
    """
    checked, today = checked_clone(ask), dt.date.today()
    made, room = checked.clone, checked.plan.room
    titles = card_titles(ask, checked.plan)
    shown = tuple(_line(ask, checked, line, titles) for line in checked.lines())
    opened = next((line for line in shown if line.row == row), None)
    return ClonePage(
        ask=ask,
        unit=ask.source,
        made=made.unit,
        room=_room(ask.room),
        rooms=tuple(shelf().rooms.names()),
        themes=tuple(shelf().units.themes()),
        lines=tuple(line for line in shown if line.asks),
        plain=tuple(line for line in shown if not line.asks),
        counts=tuple(_counts(checked)),
        closed=checked.closed,
        looked_back=bool(ask.source.look_back),
        edits_known=made.edits_known,
        last_day=last_open_day(ask.source, room),
        groups=finding_groups(checked.plan, checked.check, today),
        if_younger=tuple(_if_younger(checked.plan, today)),
        new=checked.new,
        nothing_found=nothing_found([each for each in CHECKS if each.name not in PLANNING]),
        caution=caution(),
        panel=_panel(ask, checked, opened) if opened else None,
        address=ask.address(),
    )


def _if_younger(plan: UnitPlan, today: dt.date) -> Iterator[str]:
    """``Token posting: metal token (small parts)``, once each."""
    starts = plan.unit.starts
    months = (starts.year - today.year) * 12 + starts.month - today.month
    found = stops_if_younger(plan, months)
    yield from dict.fromkeys(f"{plan.title_of(each)}: {stop_words(more)}" for each, more in found)


def choice_of_panel(ask: CloneAsk, row: int, ticked: Collection[dt.date], note: bool) -> Choice:
    """A line's choice with the days and the note as its panel was sent.

    Days that are ticked as they are proposed are no choice.
    """
    old = ask.choices.get(row, AS_PROPOSED)
    plain = Choice(old.take, old.activity, note=note)
    proposed = stood_days(checked_clone(ask.with_choice(row, plain)), row)
    return plain if set(ticked) == set(proposed) else replace(plain, days=frozenset(ticked))


def stood_days(checked: CheckedClone, row: int) -> tuple[dt.date, ...]:
    """The days of the new calendar on which a line stands as things are chosen."""
    placement = _new_placement(checked, row)
    return placement_days(placement, checked.plan.unit, checked.plan.room) if placement else ()


def card_titles(ask: CloneAsk, plan: UnitPlan) -> dict[str, str]:
    """Titles by id of the cards that either unit names, those that stay in the new theme's dress."""
    titles = {
        each.placement.activity: plan.title_of(each)
        for each in (*plan.placed, *plan.swaps)
        if each.placement.activity
    }
    for placement in ask.source.placements:
        for name in filter(None, (placement.activity, placement.instead)):
            card = None if name in titles else shelf().cards.card(name)
            titles.setdefault(name, card.title if card else name)
    return titles


def _line(
    ask: CloneAsk, checked: CheckedClone, line: CloneLine, titles: dict[str, str]
) -> ShownLine:
    old, new, row = line.old, line.new, line.old.row
    stands = titles.get((new or old).activity or "", "") or "stays as it is"
    before = titles.get(old.activity or "", "")
    fit = line.ages
    said = [each for each in ask.source.look_back if each.activity == (new or old).activity][-1:]
    return ShownLine(
        row=row,
        center=old.center,
        title=stands,
        before=before if new and new.activity != old.activity else "",
        old_days=when_in_words(old, ask.source.weeks),
        new_days=when_in_words(new, ask.source.weeks) if new else "",
        lost=", ".join(f"{weekday(each)} {day(each)}" for each in line.lost),
        loses_most=len(line.lost) >= max(len(stood_days(checked, row)), 1),
        kept=new is not None,
        why_out=_why_out(line.left_out) if line.left_out else "",
        remarks=tuple(_remarks(line, titles)),
        said=next((e.note for e in said if e.again is Again.YES), "") if new else "",
        ages=(fit.fit, fit.younger, fit.older) if fit else (0, 0, 0),
        new=_new_findings(checked, new) if new else (),
        touched=row in ask.choices,
        switch=_switch(ask, line),
        open=ask.address(open=str(row)),
    )


def _switch(ask: CloneAsk, line: CloneLine) -> str:
    """The address behind the one button of a line; it undoes a choice where that is enough."""
    row, left_out = line.old.row, line.left_out
    if left_out is None:
        said_yes = ask.choices.get(row, AS_PROPOSED).take is True
        take = None if said_yes else False
    elif left_out.why is Why.CLOSED:
        return ""
    else:
        take = True if left_out.why is Why.LOOK_BACK else None
    return f"{ask.choosing(row, take=take).address()}#line-{row}"


def _why_out(noted: Noted) -> str:
    if noted.why is Why.LOOK_BACK:
        return f"not again: {noted.note}" if noted.note else "not again"
    return noted.note


def _remarks(line: CloneLine, titles: dict[str, str]) -> list[str]:
    found = []
    for noted in line.changed:
        name = titles.get(noted.activity, noted.activity)
        about = "" if noted.activity == (line.new or line.old).activity else f"{name}: "
        found.append(about + _changed(noted))
    for moved in line.moved:
        where = f"goes to {show_day(moved.end)}" if moved.end else "has no open day left that week"
        found.append(f"{show_day(moved.start)} is closed; it {where}")
    if line.new and line.new.instead is None and line.old.instead:
        found.append(f"without its rain swap, {titles.get(line.old.instead, line.old.instead)}")
    return found


def _changed(noted: Noted) -> str:
    if noted.why is Why.LOOK_BACK:
        return f"learned: {noted.note}" if noted.note else "was to be changed; no note says how"
    words = "missing" if noted.why is Why.REMOVED else "the card was changed since"
    return f"{words}: {noted.note}"


def _new_findings(checked: CheckedClone, placement: Placement) -> tuple[Finding, ...]:
    """New findings about one line that a person should look at; ages stand in their own column."""
    return tuple(
        each
        for each in checked.new
        if each.center == placement.center
        and each.activity in (placement.activity, placement.instead)
        and each.activity is not None
        and each.kind not in {"age", "closed"}
    )


def _counts(checked: CheckedClone) -> list[str]:
    made, lines = checked.clone, checked.lines()
    learned = {each.row for each in made.changed if each.why is Why.LOOK_BACK}
    edited = {each.activity for each in made.changed if each.why is Why.EDITED}
    gone = {each.activity for each in made.changed if each.why is Why.REMOVED}
    dates = [each for each in made.moved if each.end]
    said = [
        (sum(line.new is not None for line in lines), "goes along", "go along"),
        (len(made.left_out), "is left out", "are left out"),
        (len(learned), "carries what you learned", "carry what you learned"),
        (len(edited), "card was changed since", "cards were changed since"),
        (len(gone), "card is missing", "cards are missing"),
        (len(dates), "date moves", "dates move"),
    ]
    return [f"{count} {one if count == 1 else many}" for count, one, many in said if count]


def _panel(ask: CloneAsk, checked: CheckedClone, line: ShownLine) -> LinePanel:
    weeks, held = checked.plan.unit.weeks, set(stood_days(checked, line.row))
    choice = ask.choices.get(line.row, AS_PROPOSED)
    noted = [
        each
        for each in checked.clone.changed
        if each.row == line.row and each.why is Why.LOOK_BACK and each.note
    ]
    swap = find_url(checked.plan, line.center, row=line.row, do="clone")
    more = {"place_in": ask.source.id, "clone": urlencode(ask.fields())}
    return LinePanel(
        line=line,
        weeks=tuple(day_ticks(checked.plan, week, held) for week in range(1, weeks + 1)),
        learned=noted[0].note if noted else "",
        with_note=choice.note,
        swap_url=_with_query(swap, more),
        as_proposed=ask.with_choice(line.row, AS_PROPOSED).address() + f"#line-{line.row}",
    )


def _with_query(url: str, more: dict[str, str]) -> str:
    """An address with other values for some of what it asks."""
    parts = urlsplit(url)
    values = {**dict(parse_qsl(parts.query)), **more}
    return f"{parts.path}?{urlencode(values)}"


def _new_placement(checked: CheckedClone, row: int) -> Placement | None:
    at = checked.clone.rows.get(row)
    return next((p for p in checked.plan.unit.placements if p.row == at), None)


def when_in_words(placement: Placement, weeks: int) -> str:
    """The days of a placement in a few words: ``week 1 · Tue Thu``, ``Thu 9 Oct``, ``all weeks``."""
    if placement.days:
        return ", ".join(f"{weekday(each)} {day(each)}" for each in placement.days)
    on = " ".join(name.capitalize() for name in WEEKDAYS if name in placement.on)
    if not placement.weeks or len(placement.weeks) == weeks:
        return on or ("all week" if weeks == 1 else "all weeks")
    numbers = ", ".join(map(str, placement.weeks))
    named = f"week {numbers}" if len(placement.weeks) == 1 else f"weeks {numbers}"
    return f"{named} · {on}" if on else named


def _room(name: str) -> Room | None:
    if not name:
        return shelf().room()
    try:
        return shelf().rooms.get(name)
    except NotFound:
        return shelf().room()
