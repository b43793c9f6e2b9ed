"""Local rules for a posted plan: what is named and what is not, never that a rule is kept."""

import datetime as dt

import pytest

from library.plan.rules import NORTH_CAROLINA, SHIPPED, hold_against, read_rules, shipped_rules
from library.plan.unitplan import plan_unit
from library.room.room import Block
from tests.builders import MONDAY, a_card, a_child, a_placement, a_room, a_unit

DAY = (
    Block("Arrival and free play", dt.time(8), dt.time(10)),
    Block("Outside", dt.time(10), dt.time(10, 45), "outdoor"),
)


def held(*placements, cards=(), day=DAY, **room):
    named = {card.id: card for card in cards}
    plan = plan_unit(a_unit(*placements), None, named, a_room(a_child(), day=day, **room))
    lines = hold_against(plan, shipped_rules(NORTH_CAROLINA))
    return {line.rule.asks.split(":")[0]: line for line in lines}


def test_the_example_names_five_domains_and_five_slots():
    """10A NCAC 09 .0508: five domains; for children under three five slots of the day."""
    rules = shipped_rules(NORTH_CAROLINA).rules
    assert len([rule for rule in rules if rule.looks == "area"]) == 5
    assert len([rule for rule in rules if rule.looks == "block"]) == 5
    assert all(rule.source.startswith("10A NCAC 09 .05") for rule in rules)


def test_what_the_day_names_is_shown_and_what_it_does_not_name_too():
    lines = held()
    arrival = lines["a time of arrival in the day's schedule for children under three"]
    assert arrival.on_plan == ("Arrival and free play, 08:00 to 10:00",)
    departure = lines["a time of departure in the day's schedule for children under three"]
    assert (departure.on_plan, departure.not_on_plan) == ((), ("no part of the room's day",))


def test_minutes_outdoors_are_added_up():
    """10A NCAC 09 .0508: 60 minutes from two years on where the center is open five hours."""
    line = held()[
        "60 minutes outdoors a day from two years on where the center is open five hours or more"
    ]
    assert (line.on_plan, line.not_on_plan) == (("45 minutes a day",), ("15 minutes a day",))
    twice = (*DAY, Block("Out again", dt.time(15), dt.time(15, 15), "outdoor"))
    line = held(day=twice)[line.rule.asks]
    assert (line.on_plan, line.not_on_plan) == (("60 minutes a day",), ())


def test_domains_come_from_the_goals_of_the_cards():
    lines = held(
        a_placement("water", "rain", weeks=(1,)), cards=[a_card("rain", domains=("IT-C 4",))]
    )
    assert lines["cognitive development"].on_plan == ("Rain at Water",)
    assert lines["cognitive development"].not_on_plan == ()
    assert lines["language development"].not_on_plan == ("the unit",)


def test_areas_are_looked_for_week_by_week():
    """10A NCAC 09 .0510: music, science and sand or water weekly."""
    lines = held(a_placement("music", "rain", days=(MONDAY,)), cards=[a_card("rain")])
    assert lines["music and rhythm at least weekly"].not_on_plan == ("week 2",)
    assert lines["sand and water play at least weekly"].not_on_plan == ("week 1", "week 2")


def test_four_of_five_areas_are_one_line_that_names_the_days_with_fewer():
    """10A NCAC 09 .0510: four of five areas daily, the fifth at least monthly."""
    lines = held(
        a_placement("dough", "rain", weeks=(1,)),
        *(a_placement(center, None, standing=True) for center in ("books", "blocks", "writing")),
        cards=[a_card("rain", centers=("dough",))],
        closed=frozenset({MONDAY + dt.timedelta(days=7)}),
    )
    (line,) = (each for each in lines.values() if each.rule.looks == "some")
    assert line.on_plan == (
        "art and other creative play, on 5 of 9 days",
        "books, on each of 9 days",
        "blocks, on each of 9 days",
        "manipulatives, on each of 9 days",
    )
    never, *few = line.not_on_plan
    assert len(few) == 4
    assert few[0] == "Tuesday 2026-10-13: 3 of 5"
    assert never == "family living and dramatic play, at any time"


def test_what_a_stop_keeps_in_is_named_apart_and_counts_for_nothing():
    """A tray that is not put out gives no child sand, water or music."""
    glitter = a_card("rain", body="Shake glitter over the drum.", domains=("IT-C 4",))
    lines = held(a_placement("music", "rain"), cards=[glitter])
    music = lines["music and rhythm at least weekly"]
    assert (music.on_plan, music.stopped) == ((), ("Rain at Music",))
    assert music.not_on_plan == ("week 1", "week 2")
    assert lines["cognitive development"].on_plan == ()
    assert lines["cognitive development"].stopped == ("Rain at Music",)


def test_no_line_says_that_a_rule_is_kept():
    words = " ".join(
        part
        for line in held(a_placement("water", "rain"), cards=[a_card("rain")]).values()
        for part in (line.rule.asks, *line.on_plan, *line.not_on_plan)
    ).lower()
    for word in ("met", "meets", "compliant", "approved", "ok", "safe"):
        assert word not in words.split()


@pytest.mark.parametrize("name", SHIPPED)
def test_every_shipped_set_reads_without_a_problem(name):
    from importlib.resources import files

    text = files("library.plan").joinpath("rulesets", f"{name}.yaml").read_text(encoding="utf-8")
    rules, problems = read_rules(text, name)
    assert problems == ()
    assert rules.rules


def test_a_set_of_ones_own_is_read_with_all_its_problems():
    text = """\
source: Our own wish
rules:
  - {asks: books every day, looks: center, centers: [books], each: day}
  - {asks: songs, looks: sky}
  - {looks: block, each: hour}
"""
    rules, problems = read_rules(text, "own.yaml")
    assert [rule.source for rule in rules.rules] == ["Our own wish"]
    assert [(p.line, p.field) for p in problems] == [
        (0, "title"),
        (4, "rules[1].looks"),
        (5, "rules[2].asks"),
    ]
