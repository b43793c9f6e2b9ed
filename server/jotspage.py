"""Gathers what the pages of jots show. Private to the room: nothing here goes into an address."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from werkzeug.datastructures import MultiDict

from library.plan.unitplan import cards_named
from library.room.jotbook import JotBook
from library.room.jots import Answer, Jot
from library.room.room import Room
from library.room.times import read_date
from library.store.problems import Problem, Unreadable
from library.units.calendar import unit_days
from library.units.unit import Unit
from server.forms import read_day
from server.routes.today import units_on
from server.shelf import shelf
from server.words import long_day

ANSWERS = (("again", "Again as it is"), ("easier", "Easier"), ("harder", "Harder"))
"""What is asked of the activity afterwards."""
AROUND = dt.timedelta(days=21)
"""Activities of units this near are offered; a jot is seldom written later."""
MOST_JOTS = 200
"""Jots on one page; older ones are found by their dates."""
LONGEST = 2_000
"""Characters of one jot."""
AHEAD = "this day has not come yet"


@dataclass(frozen=True, slots=True)
class ShownJot:
    """A jot as it is listed."""

    jot: Jot
    title: str
    """Title of its activity."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What jots are looked for."""

    child: str = ""
    activity: str = ""
    since: str = ""
    until: str = ""

    def __bool__(self) -> bool:
        return bool(self.child or self.activity or self.since or self.until)


@dataclass(frozen=True, slots=True)
class Offered:
    """Activities that may be chosen for a jot, under one heading."""

    heading: str
    activities: tuple[tuple[str, str], ...]
    """Id and title."""


@dataclass(frozen=True, slots=True)
class JotsPage:
    """The page of jots."""

    room: Room
    jots: tuple[ShownJot, ...]
    more: bool
    """Whether there are older ones that are not shown."""
    labels: tuple[str, ...]
    """Children of the room, and those that jots mention."""
    activities: tuple[tuple[str, str], ...]
    """Id and title of what may be looked for."""
    offered: tuple[Offered, ...]
    """What a jot may be at: what stands on its day first, then the rest of that unit, then all."""
    typed: Jot
    unit: Unit | None
    """The unit of today, for which a sheet can be printed to write on."""
    asked: Asked = Asked()
    problems: tuple[Problem, ...] = field(default=())

    @property
    def is_ahead(self) -> bool:
        """Whether it is asked if a day that has not come yet is meant."""
        return any(problem.problem == AHEAD for problem in self.wrong("day"))

    def wrong(self, name: str) -> list[Problem]:
        """The problems of one field."""
        return [problem for problem in self.problems if problem.field == name]


def jots_page(
    room: Room, today: dt.date, asked: Asked = Asked(), typed: Jot | None = None
) -> JotsPage:
    """The jots that are looked for, the latest first, with an empty line to write.

    Args:
        room: Whose jots.
        today: The day that a new jot has at first.
        asked: What is looked for; dates that cannot be read count for nothing.
        typed: What was typed already.
    """
    book = jot_book(room)
    found = book.find(
        child=asked.child or None,
        activity=asked.activity or None,
        since=read_day(asked.since),
        until=read_day(asked.until),
        limit=MOST_JOTS + 1,
    )
    units = shelf().units.read_all()[0]
    titles = _titles(units, book.activities(), asked.activity, today)
    listed = [child.label for child in room.children]
    jot = typed or Jot(today, "", activity=asked.activity or None)
    return JotsPage(
        room=room,
        jots=tuple(ShownJot(j, titles.get(j.activity or "", "")) for j in found[:MOST_JOTS]),
        more=len(found) > MOST_JOTS,
        labels=tuple(dict.fromkeys([*listed, *book.labels()])),
        activities=tuple(sorted(titles.items(), key=lambda each: each[1].casefold())),
        offered=tuple(_offered(room, units, titles, jot)),
        typed=jot,
        unit=next((unit for unit in units if today in unit_days(unit)), None),
        asked=asked,
    )


def read_asked(values: MultiDict[str, str]) -> Asked:
    """What a form or an address looks for."""
    return Asked(*(values.get(key, "").strip() for key in ("child", "activity", "since", "until")))


def read_jot(form: MultiDict[str, str], today: dt.date) -> tuple[Jot, list[Problem]]:
    """A jot as it was typed, and everything that is wrong with it."""
    problems = []
    try:
        day = read_date(form.get("day", ""))
    except Unreadable as error:
        day = today
        problems.append(Problem("", 0, "day", str(error), "choose a day"))
    if day > today and form.get("ahead") != day.isoformat():
        fix = "choose the day on which you saw it, or keep it again if you mean this one"
        problems.append(Problem("", 0, "day", AHEAD, fix))
    words = " ".join(form.get("words", "").split())
    if not words:
        problems.append(Problem("", 0, "words", "nothing is written", "write what you saw"))
    if len(words) > LONGEST:
        fix = "write two jots"
        problems.append(Problem("", 0, "words", f"{len(words):,} characters are too many", fix))
    children = tuple(dict.fromkeys(form.getlist("child")))
    if not children:
        fix = "tick one child or several"
        problems.append(Problem("", 0, "child", "it is not said whom it is about", fix))
    answer = form.get("answer", "")
    known = {each.value for each in Answer}
    activity = form.get("activity", "") or None
    if answer in known and activity is None:
        fix = "choose the activity, or take the answer back"
        problems.append(Problem("", 0, "activity", "an answer needs its activity", fix))
    return Jot(
        day, words, children, activity, Answer(answer) if answer in known else None
    ), problems


def jot_book(room: Room) -> JotBook:
    """The jots of a room."""
    return JotBook(shelf().paths.database, room.name)


def with_problems(page: JotsPage, problems: Iterable[Problem]) -> JotsPage:
    """The same page with what is wrong."""
    return replace(page, problems=tuple(problems))


def _offered(
    room: Room, units: Iterable[Unit], titles: Mapping[str, str], jot: Jot
) -> Iterator[Offered]:
    """The activities for a jot: of its day, of the units of that day, and all others."""
    plans = [shelf().open_plan(unit, room) for unit in units_on(units, jot.day)]
    named = {
        placed.placement.activity: plan.title_of(placed)
        for plan in plans
        for placed in (*plan.placed, *plan.swaps)
        if placed.placement.activity
    }
    there = {
        placed.placement.activity
        for plan in plans
        for placed in (*plan.placed, *plan.swaps)
        if jot.day in placed.days
    }
    rest = {card.id: card.title for card in shelf().cards.read_all()[0]}
    spoken = {jot.activity: jot.activity} if jot.activity else {}
    parts = (
        (f"Set up on {long_day(jot.day)}", {k: v for k, v in named.items() if k in there}),
        ("On other days of the unit", {k: v for k, v in named.items() if k not in there}),
        ("All other activities", {**spoken, **titles, **rest}),
    )
    seen: set[str] = set()
    for heading, found in parts:
        new = [(name, title) for name, title in found.items() if name not in seen]
        seen.update(name for name, _ in new)
        if new:
            yield Offered(heading, tuple(sorted(new, key=lambda each: each[1].casefold())))


def _titles(
    units: Iterable[Unit], mentioned: Iterable[str], asked: str, today: dt.date
) -> dict[str, str]:
    """Titles by id of what stands about now, what jots speak of, and what is looked for."""
    near = [
        unit
        for unit in units
        if (days := unit_days(unit)) and days[0] - AROUND <= today <= days[-1] + AROUND
    ]
    names = [name for unit in near for name in cards_named(unit)]
    names += [*mentioned, *([asked] if asked else [])]
    cards = {name: shelf().cards.card(name) for name in dict.fromkeys(names)}
    return {name: card.title if card else name for name, card in cards.items()}
