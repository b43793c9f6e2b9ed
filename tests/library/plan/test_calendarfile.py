"""The calendar file of a unit."""

import datetime as dt
import json
import os
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from icalendar import Calendar

from library.cards.values import Step, read_span
from library.plan.calendarfile import calendar_file
from library.plan.unitplan import plan_unit
from library.room.demo import demo_room
from tests.builders import a_book, a_card, a_material, a_material_line, a_placement, a_theme, a_unit

NOW = dt.datetime(2026, 9, 1, 12, tzinfo=dt.UTC)
LONG = "Cut the paper into strips as long as an arm, as wide as a hand, and lay them in the basket"
NODE = os.environ.get("LOWSHELF_NODE")
READER = """
const ICAL = require(process.argv[1] + "/node_modules/ical.js/dist/ical.es5.cjs");
const text = require("fs").readFileSync(0, "utf8");
const whole = new ICAL.Component(ICAL.parse(text));
for (const zone of whole.getAllSubcomponents("vtimezone")) ICAL.TimezoneService.register(zone);
const events = whole.getAllSubcomponents("vevent").map((each) => new ICAL.Event(each));
console.log(JSON.stringify(events.map((e) => [e.summary, e.startDate.toJSDate().toISOString()])));
"""


def a_file(starts=dt.date(2026, 10, 26), zone="Europe/Berlin"):
    """Two weeks; in the night before the first Monday clocks are put back in Berlin."""
    card = a_card(
        "strips",
        prep=9,
        steps=(Step(LONG, 9),),
        materials=(a_material_line("long paper", "2 sheets per child"),),
    )
    later = a_card("later", prep=7, steps=(Step("Wash the jars", 7),), keeps=read_span("4 d"))
    room = replace(demo_room(starts), zone=zone, closed=frozenset())
    unit = a_unit(
        a_placement("art", "strips"), a_placement("water", "later", weeks=(2,)), starts=starts
    )
    book = a_book(a_material("long paper"))
    cards = {card.id: card, later.id: later}
    return calendar_file(plan_unit(unit, a_theme(), cards, room, materials=book), NOW)


def events(file):
    return {str(e["summary"]): e for e in Calendar.from_ical(file).walk("VEVENT")}


def test_it_holds_the_unit_prep_and_orders():
    found = events(a_file())
    unit = found["Leaves and wind, fall 2026"]
    assert (unit["dtstart"].dt, unit["dtend"].dt) == (dt.date(2026, 10, 26), dt.date(2026, 11, 7))
    assert any(name.startswith("Prep for") for name in found)
    assert "long paper" in found["Last day to order for Leaves and wind, fall 2026"]["description"]


def test_a_line_has_at_most_75_octets_and_ends_in_crlf():
    """RFC 5545, 3.1."""
    file = a_file()
    lines = file.split(b"\r\n")
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    assert LONG in str(next(e for n, e in events(file).items() if "Prep" in n)["description"])


def test_an_event_keeps_its_name_when_the_file_is_made_again():
    first, again = (sorted(str(e["uid"]) for e in events(a_file()).values()) for _ in range(2))
    assert first == again
    assert len(set(first)) == len(first)


def test_nothing_in_it_is_about_children():
    room = demo_room(dt.date(2026, 10, 26))
    text = b"".join(a_file().split(b"\r\n ")).decode().casefold()
    for child in room.children:
        assert child.label not in text
        assert all(allergen not in text for allergen in child.allergens)


def test_without_a_zone_times_are_the_readers_own():
    prep = next(e for n, e in events(a_file(zone="")).items() if "Prep" in n)
    assert prep["dtstart"].dt.tzinfo is None


@pytest.mark.parametrize(
    ("zone", "starts", "hours"),
    [
        ("Europe/Berlin", dt.date(2026, 10, 26), {2, 1}),
        ("America/Los_Angeles", dt.date(2026, 11, 2), {-7, -8}),
    ],
)
def test_times_stay_on_the_wall_over_a_change_of_clocks(zone, starts, hours):
    """Clocks go back on 2026-10-25 in Berlin and on 2026-11-01 in Los Angeles (IANA time zones)."""
    file = a_file(starts, zone)
    preps = [e["dtstart"].dt for e in Calendar.from_ical(file).walk("VEVENT")
             if str(e["summary"]).startswith("Prep")]  # fmt: skip
    assert {p.utcoffset().total_seconds() / 3600 for p in preps} == hours
    assert all(p.time() in {dt.time(13), dt.time(16, 15)} for p in preps)


@pytest.mark.skipif(not NODE or not shutil.which("node"), reason="no LOWSHELF_NODE")
@pytest.mark.parametrize("zone", ["Europe/Berlin", "America/Los_Angeles"])
def test_another_library_reads_the_same(zone):
    """Source: ical.js of the npm registry."""
    file = a_file(zone=zone)
    script = ["node", "-e", READER, str(Path(NODE).resolve())]
    said = subprocess.run(script, input=file, capture_output=True, check=True).stdout
    ours = [
        (str(e["summary"]), e["dtstart"].dt)
        for e in Calendar.from_ical(file).walk("VEVENT")
        if isinstance(e["dtstart"].dt, dt.datetime)
    ]
    theirs = {(name, dt.datetime.fromisoformat(at)) for name, at in json.loads(said)}
    assert {(name, at.astimezone(dt.UTC)) for name, at in ours} <= theirs
