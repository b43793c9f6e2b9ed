"""A learning framework: goals by area and age series, as published or as a library brings it."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, cached_property
from importlib.resources import files

from library.store.fields import Fields
from library.store.problems import Problem
from library.store.yamltext import Loaded, Plain, load_yaml

COLUMNS = ("code", "age", "domain", "area", "subdomain", "title", "status")
INFANT_TODDLER, PRESCHOOL = "infant-toddler", "preschool"
PRESCHOOL_FROM_MONTHS = 36
"""Where one series gives way to the other.

Source: Head Start Early Learning Outcomes Framework: Ages Birth to Five (2015): infant and toddler
goals up to 36 months, preschool goals from 36 to 60.
"""


class Wording(StrEnum):
    """How sure the wording of a goal is."""

    CONFIRMED = "confirmed"
    PARTIAL = "partial"
    """Code and opening words were seen."""
    MEMORY = "memory"
    """Written from memory; the page says so."""


@dataclass(frozen=True, slots=True)
class Goal:
    """One goal of a framework."""

    code: str
    """With a hyphen before the number: ``IT-PMP-6`` (CMD6)."""
    title: str
    area: str
    subdomain: str = ""
    domain: str = ""
    age: str = ""
    """Series: infant-toddler or preschool; empty: any age."""
    status: Wording = Wording.CONFIRMED

    @property
    def note(self) -> str:
        """What to say of the wording beside the goal; empty where it is confirmed."""
        if self.status is Wording.MEMORY:
            return "wording from memory"
        return "wording seen in part" if self.status is Wording.PARTIAL else ""

    def suits(self, age_months: int) -> bool:
        """Whether the goal's series is the one for an age in completed months."""
        if self.age not in (INFANT_TODDLER, PRESCHOOL):
            return True
        return (self.age == PRESCHOOL) == (age_months >= PRESCHOOL_FROM_MONTHS)


@dataclass(frozen=True)
class Framework:
    """Goals in their published order."""

    name: str
    goals: tuple[Goal, ...]
    source: str = ""

    def find(self, code: str) -> Goal | None:
        """The goal of a code, however it is written; None if it is none of this framework."""
        return self._by_code.get(goal_code(code))

    @property
    def codes(self) -> frozenset[str]:
        """All codes."""
        return frozenset(self._by_code)

    def areas(self, ages_months: Iterable[int]) -> tuple[tuple[str, str], ...]:
        """Series and area of the goals that suit at least one of these ages, in order (FIND15)."""
        ages = tuple(ages_months)
        suiting = (goal for goal in self.goals if any(goal.suits(age) for age in ages))
        return tuple(dict.fromkeys((goal.age, goal.area) for goal in suiting))

    @cached_property
    def _by_code(self) -> Mapping[str, Goal]:
        return {goal.code: goal for goal in self.goals}


def goal_code(text: str) -> str:
    """A code as it is kept: ``it-pmp 6`` and ``IT-PMP-6`` are both ``IT-PMP-6`` (CMD6)."""
    return re.sub(r"[\s_-]+", "-", text.strip()).upper()


@cache
def head_start() -> Framework:
    """The Head Start Early Learning Outcomes Framework that the package carries.

    Source: Early Learning Outcomes Framework: Ages Birth to Five (2015), Office of Head Start,
    a work of the US government. Titles are worded anew; each goal says how sure its wording is.
    """
    rows = json.loads(files(__package__).joinpath("elof.json").read_text(encoding="utf-8"))
    return Framework(
        "Head Start Early Learning Outcomes Framework",
        tuple(_goal(row) for row in rows),
        "Early Learning Outcomes Framework: Ages Birth to Five (2015), Office of Head Start",
    )


def read_framework(text: str, file: str, name: str) -> tuple[Framework, tuple[Problem, ...]]:
    """Reads a framework from YAML or CSV with the columns of :data:`COLUMNS`.

    Args:
        text: The file's text; ``.csv`` in the file's name makes it CSV, anything else YAML.
        file: Path within the library folder.
        name: What to call it.

    Returns:
        The framework with every goal that could be read, and what is wrong with the rest.
    """
    top = _csv(text) if file.lower().endswith(".csv") else _yaml(text)
    goals: dict[str, Goal] = {}
    for row in top.rows("goals"):
        row.near_misses(COLUMNS)
        present = [row.require(key, example) for key, example in _NEEDED]
        status = row.read("status", Wording, Wording.CONFIRMED) if _status_known(row) else None
        code = goal_code(row.text("code"))
        if code in goals:
            row.complain("code", f"'{code}' is there twice", "keep one of the two")
        elif all(present) and status:
            goals[code] = _goal({**{key: row.text(key) for key in COLUMNS}, "status": status})
    return Framework(name, tuple(goals.values()), file), top.found(file)


_NEEDED = (("code", "IT-PMP-6"), ("area", "Fine Motor"), ("title", "uses both hands together"))


def _status_known(row: Fields) -> bool:
    status = row.text("status")
    if status in ("", *Wording):
        return True
    row.complain("status", f"found '{status}'", "write one of " + ", ".join(Wording))
    return False


def _yaml(text: str) -> Fields:
    loaded = load_yaml(text)
    if isinstance(loaded.value, list):
        loaded = Loaded(
            {"goals": loaded.value},
            {("goals", *path): line for path, line in loaded.lines.items()},
            loaded.problems,
        )
    return Fields.of(loaded)


def _csv(text: str) -> Fields:
    loaded = Loaded()
    rows: list[Plain] = []
    reader = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")))
    for index, row in enumerate(reader):
        rows.append({key.strip(): value or None for key, value in row.items() if key})
        loaded.lines["goals", index] = reader.line_num
    loaded.value = {"goals": rows}
    return Fields.of(loaded)


def _goal(row: Mapping[str, str]) -> Goal:
    return Goal(
        code=goal_code(row["code"]),
        title=row["title"],
        area=row["area"],
        subdomain=row.get("subdomain", ""),
        domain=row.get("domain", ""),
        age=row.get("age", "").strip().lower(),
        status=Wording(row.get("status") or Wording.CONFIRMED),
    )
