"""Local rules for a posted plan, as data: what is named on this plan and what is not.

Nothing here says that a rule is kept. The rule's own text and the licensing office decide.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from library.cards.centers import center_title
from library.frameworks.framework import goal_code
from library.plan.stops import stops_on
from library.plan.unitplan import UnitPlan
from library.room.room import Block
from library.room.times import show_day
from library.store.fields import Fields, one_of, read_flag, whole_number
from library.store.problems import Problem
from library.store.yamltext import load_yaml
from library.units.calendar import open_days, open_days_of_week
from library.units.placed import Placed

NORTH_CAROLINA = "north-carolina"
SHIPPED = (NORTH_CAROLINA,)
"""Names of the rule sets that the package carries."""


@dataclass(frozen=True, slots=True)
class Part:
    """One of several areas of which a rule asks for some."""

    name: str
    centers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that a rule asks a plan to name."""

    asks: str
    looks: str
    """block, minutes, area, center or some."""
    source: str
    each: str = "unit"
    """How often: day, week or unit."""
    words: tuple[str, ...] = ()
    """Words in a block's name."""
    kinds: tuple[str, ...] = ()
    """Kinds of blocks."""
    areas: tuple[str, ...] = ()
    """Areas of a learning framework."""
    centers: tuple[str, ...] = ()
    minutes: int = 0
    parts: tuple[Part, ...] = ()
    """Areas of which ``at_least`` are asked for."""
    at_least: int = 0
    confirmed: bool = True
    """False where the wording of the source is from memory."""


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The rules of one place."""

    title: str
    source: str
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class Named:
    """One rule against one plan."""

    rule: Rule
    on_plan: tuple[str, ...]
    """What the plan names for it; empty: nothing."""
    not_on_plan: tuple[str, ...]
    """Days, weeks or minutes for which the plan names nothing."""
    stopped: tuple[str, ...] = ()
    """What the plan names for it, but must not put out; it counts for nothing."""


@cache
def shipped_rules(name: str) -> RuleSet:
    """A rule set that the package carries."""
    text = files(__package__).joinpath("rulesets", f"{name}.yaml").read_text(encoding="utf-8")
    return read_rules(text, f"{name}.yaml")[0]


def read_rules(text: str, file: str) -> tuple[RuleSet, tuple[Problem, ...]]:
    """Reads a rule set from YAML.

    Args:
        text: The file's text.
        file: Name for the problems.

    Returns:
        The set with every rule that could be read, and what is wrong with the rest.
    """
    top = Fields.of(load_yaml(text))
    top.require("title", "North Carolina, schedules and activity plans")
    rules = [rule for row in top.rows("rules") if (rule := _rule(row, top.text("source")))]
    return RuleSet(top.text("title"), top.text("source"), tuple(rules)), top.found(file)


def hold_against(plan: UnitPlan, rules: RuleSet) -> tuple[Named, ...]:
    """Says for each rule what the plan names and where it names nothing, in the set's order."""
    return tuple(_LOOKS[rule.looks](rule, plan) for rule in rules.rules)


def _rule(row: Fields, source: str) -> Rule | None:
    row.near_misses(Rule.__dataclass_fields__)
    complete = row.require("asks", "time outside"), row.require("looks", "block")
    looks = row.read("looks", one_of(*_LOOKS), None)
    if not all(complete) or looks is None:
        return None
    return Rule(
        asks=row.text("asks"),
        looks=looks,
        source=row.text("source") or source,
        each=row.read("each", one_of("day", "week", "unit"), "unit"),
        words=row.texts("words"),
        kinds=row.texts("kinds"),
        areas=row.texts("areas"),
        centers=row.texts("centers"),
        minutes=row.read("minutes", whole_number(0, 600, "minutes"), 0),
        parts=tuple(Part(each.text("name"), each.texts("centers")) for each in row.rows("parts")),
        at_least=row.read("at_least", whole_number(0, 99, "areas"), 0),
        confirmed=row.read("confirmed", read_flag, True),
    )


def _look_at_blocks(rule: Rule, plan: UnitPlan) -> Named:
    blocks = _blocks(rule, plan)
    named = tuple(f"{block.name}, {block.start:%H:%M} to {block.end:%H:%M}" for block in blocks)
    return Named(rule, named, () if named else ("no part of the room's day",))


def _look_at_minutes(rule: Rule, plan: UnitPlan) -> Named:
    minutes = sum(_minutes(block) for block in _blocks(rule, plan))
    named = (f"{minutes} minutes a day",) if minutes else ()
    short = rule.minutes - minutes
    return Named(rule, named, (f"{short} minutes a day",) if short > 0 else ())


def _look_at_areas(rule: Rule, plan: UnitPlan) -> Named:
    goals = {
        goal.code
        for framework in plan.frameworks
        for goal in framework.goals
        if goal.area in rule.areas
    }

    def serves(placed: Placed) -> bool:
        return bool(placed.card and goals & {goal_code(code) for code in placed.card.domains})

    return _look_at_placed(rule, plan, serves)


def _look_at_centers(rule: Rule, plan: UnitPlan) -> Named:
    return _look_at_placed(rule, plan, lambda placed: placed.center in rule.centers)


def _look_at_some(rule: Rule, plan: UnitPlan) -> Named:
    """Of several areas: which are named on how many days, and on which days too few are."""
    placed, stopped = _standing(
        plan, lambda each: any(each.center in p.centers for p in rule.parts)
    )
    spans = _spans(rule, plan)
    there = {
        part.name: [
            name
            for name, days in spans
            if any(p.center in part.centers and set(p.days) & set(days) for p in placed)
        ]
        for part in rule.parts
    }
    every = f"{len(spans)} {rule.each}s"
    named = tuple(
        f"{part}, on {'each of ' if len(when) == len(spans) else f'{len(when)} of '}{every}"
        for part, when in there.items()
        if when
    )
    few = tuple(
        f"{name}: {count} of {len(rule.parts)}"
        for name, _ in spans
        if (count := sum(name in when for when in there.values())) < rule.at_least
    )
    never = tuple(f"{part}, at any time" for part, when in there.items() if not when)
    return Named(rule, named, (*never, *few), stopped)


_LOOKS: dict[str, Callable[[Rule, UnitPlan], Named]] = {
    "block": _look_at_blocks,
    "minutes": _look_at_minutes,
    "area": _look_at_areas,
    "center": _look_at_centers,
    "some": _look_at_some,
}
"""What a rule can look at."""


def _look_at_placed(rule: Rule, plan: UnitPlan, counts: Callable[[Placed], bool]) -> Named:
    placed, stopped = _standing(plan, counts)
    titles = tuple(dict.fromkeys(_named(each, plan) for each in placed))
    held = {day for each in placed for day in each.days}
    empty = tuple(name for name, days in _spans(rule, plan) if not held & set(days))
    return Named(rule, titles, empty, stopped)


def _standing(
    plan: UnitPlan, counts: Callable[[Placed], bool]
) -> tuple[list[Placed], tuple[str, ...]]:
    """The placements that count and may be put out, and the names of those a stop keeps in."""
    every = [each for each in plan.placed if each.days and counts(each)]
    stopped = [each for each in every if stops_on(plan, each)]
    names = tuple(dict.fromkeys(_named(each, plan) for each in stopped))
    return [each for each in every if each not in stopped], names


def _named(placed: Placed, plan: UnitPlan) -> str:
    """What a plan names at a center; a center that stands is named by itself."""
    center = center_title(placed.center)
    return f"{plan.title_of(placed)} at {center}" if placed.placement.activity else center


def _spans(rule: Rule, plan: UnitPlan) -> list[tuple[str, tuple[dt.date, ...]]]:
    """Each stretch of time for which the rule wants something named, with its open days."""
    if rule.each == "day":
        return [(show_day(day), (day,)) for day in open_days(plan.unit, plan.room)]
    if rule.each == "unit":
        return [("the unit", open_days(plan.unit, plan.room))]
    weeks = range(1, plan.unit.weeks + 1)
    spans = [(f"week {week}", open_days_of_week(plan.unit, week, plan.room)) for week in weeks]
    return [(name, days) for name, days in spans if days]


def _blocks(rule: Rule, plan: UnitPlan) -> tuple[Block, ...]:
    return tuple(
        block
        for block in plan.room.day
        if block.kind in rule.kinds or any(word in block.name.casefold() for word in rule.words)
    )


def _minutes(block: Block) -> int:
    return (block.end.hour - block.start.hour) * 60 + block.end.minute - block.start.minute
