"""Builders for tests of prep: a room with windows, a unit of a few cards, and its plan."""

import datetime as dt

from library.cards.values import Step, When, read_span
from library.prep.prep import plan_prep
from library.prep.tasks import Task
from library.prep.windows import Window, minute_of
from library.room.room import PrepWindow
from library.units.placed import lay_out
from tests.builders import MONDAY, a_card, a_placement, a_room, a_unit

WEEK = ("mon", "tue", "wed", "thu", "fri")
NAP = (dt.time(13), dt.time(13, 40))
DAY = 24 * 60


def a_window(start=NAP[0], end=NAP[1], days=WEEK, adults=1, away=False):
    return PrepWindow(days, start, end, adults, away)


def a_step(do="Cut", minutes=5, on="ahead", away=False):
    return Step(do, minutes, When(on), away)


def a_prep_card(id="sponge-rain", *steps, wait=None, keeps=None, **fields):
    spans = {key: read_span(text) for key, text in (("wait", wait), ("keeps", keeps)) if text}
    fields.setdefault("prep", sum(s.minutes for s in steps if s.on is not When.DAILY) or 5)
    return a_card(id, steps=steps, **spans, **fields)


def plan(*cards, placements=None, windows=(), pins=(), room=None, **unit):
    """The prep of cards that each stand from the first Monday on, unless placements are given."""
    placements = placements or [a_placement(activity=card.id) for card in cards]
    room = room or a_room(prep_windows=tuple(windows) or (a_window(),))
    the_unit = a_unit(*placements, **unit)
    placed = lay_out(the_unit, None, {card.id: card for card in cards}, room)
    return plan_prep(the_unit, placed, room, pins)


def when(prep, activity=None):
    """Date and window of each planned step, in order of time."""
    return [
        (session.date, session.window, step.do, step.minutes)
        for session in prep.sessions
        for step in session.steps
        if activity in (None, step.activity)
    ]


def windows_on(*spans, adults=1, away=False):
    """Windows on days before (negative) or after the first Monday: (day, start, length) in minutes."""
    made = []
    for number, (day, start, length) in enumerate(sorted(spans)):
        opens, closes = dt.time(*divmod(start, 60)), dt.time(*divmod(start + length, 60))
        date = MONDAY + dt.timedelta(days=day)
        made.append(Window(number, date, opens, closes, adults, away))
    return made


def tasks_for(*chains, day=0):
    """Chains of minutes, each a batch for the morning ``day`` days after the first Monday."""
    morning = minute_of(dt.datetime.combine(MONDAY + dt.timedelta(days=day), dt.time(8)))
    made = []
    for batch, chain in enumerate(chains):
        for step, minutes in enumerate(chain, start=1):
            number = len(made)
            made.append(
                Task(number, f"card-{batch}", f"step {step}", minutes, False, 1, step, morning,
                     morning, None, number - 1 if step > 1 else None)
            )  # fmt: skip
    return made
