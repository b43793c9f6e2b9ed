"""Gathers what the pages of a unit afterwards show: looking back, and the years before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from library.cards.values import read_minutes
from library.plan.unitplan import cards_named
from library.room.jots import Answer, answers_of
from library.room.room import Room
from library.store.problems import Problem, Unreadable
from library.units.calendar import week_days
from library.units.lookback import Asked, asked_of, minutes_it_took, took_in_words
from library.units.parsing import read_again
from library.units.unit import Again, LookBack, Unit
from library.units.years import earlier_years, later_years
from server.shelf import shelf
from server.visitors import may
from server.words import with_names

AGAIN = (("yes", "Again"), ("change", "Change it"), ("no", "Not again"))
"""What may be said of an activity, in the words of the page."""
SAID = {"yes": "again", "change": "to change", "no": "not again"}
"""What was said, in the words of those who read it."""


@dataclass(frozen=True, slots=True)
class AskedRow:
    """One activity as the look-back page asks about it."""

    activity: str
    title: str
    centers: tuple[str, ...]
    again: str
    took: str
    note: str
    planned: int | None
    """Minutes of prep that the card says; None: there is no card."""
    took_before: str
    """``planned 10, took 14 and 16`` of the years before."""
    remembered: tuple[str, ...]
    """What was carried over into this unit."""
    jots: tuple[tuple[str, int], ...]
    """Answers of jots in the unit's weeks, and how often each was given."""


@dataclass(frozen=True, slots=True)
class LookBackPage:
    """The page that looks back on a unit."""

    unit: Unit
    fingerprint: str
    rows: tuple[AskedRow, ...]
    problems: tuple[Problem, ...] = ()
    changed: tuple[str, ...] = ()
    """What others changed meanwhile, in words."""

    def wrong(self, name: str) -> list[Problem]:
        """The problems of one field."""
        return [problem for problem in self.problems if problem.field == name]

    @property
    def said(self) -> int:
        """How many activities something was said of."""
        return sum(bool(row.again) for row in self.rows)


@dataclass(frozen=True, slots=True)
class ShownYear:
    """One of the years of a unit."""

    unit: Unit
    counts: tuple[tuple[str, int], ...]
    """How often each thing was said when the team looked back."""
    said: tuple[tuple[str, str, str], ...]
    """Title, what was said, and the note, where there is one."""
    changes: tuple[str, ...]
    """What this year did otherwise than the one before."""


@dataclass(frozen=True, slots=True)
class YearsPage:
    """The years of a unit, the latest first."""

    unit: Unit
    years: tuple[ShownYear, ...]
    later: tuple[Unit, ...]


def look_back_page(
    unit: Unit, fingerprint: str, room: Room, typed: MultiDict[str, str] | None = None
) -> LookBackPage:
    """The page of a unit, with what was said already or what was typed."""
    units = shelf().units.read_all()[0]
    before = minutes_it_took(each for each in units if each.starts < unit.starts)
    answers = _answers(unit)
    rows = tuple(
        _row(unit, asked, before.get(asked.activity, ()), answers, typed)
        for asked in asked_of(unit, room)
    )
    return LookBackPage(unit, fingerprint, rows)


def read_look_back(
    form: MultiDict[str, str], unit: Unit, room: Room
) -> tuple[list[LookBack], list[Problem]]:
    """What a form says of each activity where it is something new, and everything wrong with it.

    An activity of which nothing is said is left alone; a note or minutes without a word on whether
    to do it again are asked about, since the next year needs that word.
    """
    entries, problems = [], []
    for asked in asked_of(unit, room):
        key = asked.activity
        again, note = form.get(f"again.{key}", ""), " ".join(form.get(f"note.{key}", "").split())
        minutes = form.get(f"took.{key}", "").strip()
        took, wrong = _minutes(minutes, f"took.{key}")
        problems += wrong
        if not again:
            if note or minutes:
                fix = "choose one of the three; the note and the minutes go with it"
                problem = "it is not said whether to do it again"
                problems.append(Problem("", 0, f"again.{key}", problem, fix))
            continue
        entry = LookBack(key, read_again(again), took, note)
        if entry != asked.said:
            entries.append(entry)
    return entries, problems


def with_theirs(form: MultiDict[str, str], base: Unit | None) -> MultiDict[str, str]:
    """What was typed on a unit that others changed meanwhile, without what was only shown.

    An activity of which the form says what the unit said when it was opened is left to the others.

    Args:
        form: What was sent.
        base: The unit as it was when the form was opened; None: it is not known any more.
    """
    shown = {entry.activity: _values(entry) for entry in base.look_back} if base else {}
    untouched = {
        f"{name}.{key}"
        for key, values in shown.items()
        if all(form.get(f"{name}.{key}", "") == value for name, value in values.items())
        for name in values
    }
    return MultiDict((key, value) for key, value in form.items(multi=True) if key not in untouched)


def typed_notes(form: MultiDict[str, str]) -> dict[str, str]:
    """The notes of a form, which would go into the library folder."""
    return {name: text for name, text in form.items() if name.startswith("note.")}


def years_page(unit: Unit) -> YearsPage:
    """The years a unit goes back to, with what changed each time."""
    units = shelf().units.read_all()[0]
    years = earlier_years(unit, units)
    row = [unit, *(year.unit for year in years)]
    changes = [*(year.changes for year in years), ()]
    titles = titles_of(row)
    shown = tuple(
        ShownYear(each, _counts(each), _said(each, titles), _named(words, titles))
        for each, words in zip(row, changes, strict=True)
    )
    return YearsPage(unit, shown, later_years(unit, units))


def titles_of(units: Iterable[Unit]) -> dict[str, str]:
    """Titles of the cards that units name, by id; one that is gone is called by its id."""
    names = dict.fromkeys(
        name for unit in units for name in (*cards_named(unit), *_spoken_of(unit))
    )
    cards = {name: shelf().cards.card(name) for name in names}
    return {name: card.title if card else name for name, card in cards.items()}


def _spoken_of(unit: Unit) -> tuple[str, ...]:
    return tuple(entry.activity for entry in unit.look_back)


def _named(words: Iterable[str], titles: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(with_names(each, titles, shelf().centers()) for each in words)


def _counts(unit: Unit) -> tuple[tuple[str, int], ...]:
    last = {entry.activity: entry.again.value for entry in unit.look_back}
    counted = Counter(last.values())
    return tuple((words, counted[key]) for key, words in SAID.items() if counted[key])


def _said(unit: Unit, titles: Mapping[str, str]) -> tuple[tuple[str, str, str], ...]:
    """What deserves to be read again: everything with a note, and whatever was not a plain yes."""
    return tuple(
        (titles[entry.activity], SAID[entry.again.value], entry.note)
        for entry in {each.activity: each for each in unit.look_back}.values()
        if entry.note or entry.again is not Again.YES
    )


def _row(
    unit: Unit,
    asked: Asked,
    before: tuple[int, ...],
    answers: Mapping[str, Counter[Answer]],
    typed: MultiDict[str, str] | None,
) -> AskedRow:
    key = asked.activity
    card = shelf().cards.card(key)
    values = _values(asked.said)
    if typed is not None and (f"note.{key}" in typed or f"again.{key}" in typed):
        values = {name: typed.get(f"{name}.{key}", "") for name in values}
    return AskedRow(
        activity=key,
        title=card.title if card else key,
        centers=asked.centers,
        planned=card.prep_minutes if card else None,
        took_before=took_in_words(card.prep_minutes, before) if card else "",
        remembered=tuple(p.note for p in unit.placements if p.activity == key and p.note),
        jots=tuple((a.value, n) for a in Answer if (n := answers.get(key, Counter())[a])),
        **values,
    )


def _values(said: LookBack | None) -> dict[str, str]:
    """What was said as the fields of the page hold it."""
    return {
        "again": said.again.value if said else "",
        "took": str(said.took) if said and said.took is not None else "",
        "note": said.note if said else "",
    }


def _answers(unit: Unit) -> Mapping[str, Counter[Answer]]:
    """Answers of the room's jots in the weeks of a unit, for those who may read jots."""
    from library.room.jotbook import JotBook

    room = shelf().room()
    if room is None or not may("jots.index"):
        return {}
    end = week_days(unit.starts, unit.weeks)[-1]
    book = JotBook(shelf().paths.database, room.name)
    return answers_of(book.find(since=unit.starts, until=end))


def _minutes(text: str, name: str) -> tuple[int | None, list[Problem]]:
    if not text:
        return None, []
    try:
        return read_minutes(text), []
    except Unreadable as error:
        return None, [Problem("", 0, name, str(error), "write minutes, or leave it empty")]
