"""What is wrong with a card that is being typed, in the words of its form.

The reader of cards speaks of lines and files. Here each of its problems is said again by what was
typed and by what stands on the page: what is wrong, for the list on top, and what to do, which
also stands beside the field.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from library.materials.amounts import (
    EXPECTED_AMOUNT,
    EXPECTED_QUANTITY,
    VAGUE,
    parse_amount,
    parse_quantity,
)
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain
from server.forms import as_text

ASKED = {
    "title": ("the name", "write a name"),
    "centers": ("the center", "choose a center"),
    "ages": ("ages", "for which ages? Write months, the younger first, such as 24-42"),
    "prep": ("minutes of prep", "how many minutes of prep? Write 0 to 480, 0 for none"),
    "group": ("children at once", "how many children at once? For example 4 or 1-4"),
    "wait": (
        "a time to wait",
        "how long does it dry, soak or freeze? For example 30 min, 12 h or overnight",
    ),
    "keeps": ("a time it keeps", "how long does it keep? For example 2 d or 1 w"),
    "runs": ("minutes", "how many minutes does a child stay? For example 15"),
    "materials.item": ("the material", "which material is it?"),
    "materials.amount": (
        "the amount",
        "how many or how much? For example 2 per child, 1 per setup, 3 cups per setup",
    ),
    "steps.do": ("the step", "what is done in this step?"),
    "steps.minutes": ("the minutes", "how many minutes does it take? Write 0 to 480"),
}
"""Field → what it is called where it is missing or cannot be read, and what is asked."""
SAID_BY_FORM = {
    "props": "write at What a theme may swap what it is without a theme",
    "prep": "write the sum at Minutes of prep, or change the steps",
    "wait": "let it dry, soak or freeze for a shorter time, or keep for a longer one",
    "domains": "write codes such as IT-C-4 with commas between",
}
"""Field → what to do on the page where the rules over a card name the line of a file."""
_ROW = re.compile(r"(\w+)\[(\d+)\]\.(\w+)")


def in_form_words(problems: Iterable[Problem], values: Mapping[str, Plain]) -> list[Problem]:
    """The problems of a card that is typed, said for its form.

    Args:
        problems: As the reader of cards and the rules over a card found them.
        values: What was typed.
    """
    return [_said(each, values) for each in problems]


def is_unfilled(problem: Problem, values: Mapping[str, Plain]) -> bool:
    """Whether a problem is only that somebody has not come to a field yet."""
    return _key(problem.field) in ASKED and not _typed(problem.field, values)


def _said(problem: Problem, values: Mapping[str, Plain]) -> Problem:
    key, typed = _key(problem.field), _typed(problem.field, values)
    if key in ASKED and not typed:
        return replace(problem, problem=_missing(problem.field, values), fix=ASKED[key][1])
    if key == "materials.amount":
        return _amount(problem, typed, values)
    if key in ASKED and problem.problem.startswith("found '"):
        shown = f"'{typed[:40]}' cannot be read as {ASKED[key][0]}"
        return replace(problem, problem=shown, fix=ASKED[key][1])
    return replace(problem, fix=SAID_BY_FORM.get(key, problem.fix))


def _missing(name: str, values: Mapping[str, Plain]) -> str:
    row = _ROW.fullmatch(name)
    beside = {"amount": "item", "minutes": "do", "item": "amount", "do": "minutes"}
    other = _typed(f"{row[1]}[{row[2]}].{beside[row[3]]}", values) if row else ""
    what = ASKED[_key(name)][0]
    return f"{what} is missing at '{other[:40]}'" if other else f"missing: {what}"


def _amount(problem: Problem, typed: str, values: Mapping[str, Plain]) -> Problem:
    """What to do about an amount: most often only what it is counted by is not said."""
    if _is_read(parse_amount, typed):
        what = f"'{typed}' counts places, and how many children at once is not said"
        return replace(problem, problem=what, fix="write a number at Children at once, such as 1-4")
    item = _typed(problem.field.replace(".amount", ".item"), values)
    of = f" of {item[:40]}" if item else ""
    if not _is_read(parse_quantity, typed):
        is_advice = problem.fix not in {f"write {EXPECTED_AMOUNT}", f"write {EXPECTED_QUANTITY}"}
        fix = problem.fix if is_advice else ASKED["materials.amount"][1]
        if VAGUE & set(typed.lower().split()):
            fix = "how many or how much? Write a number, such as 5 per child or 6 drops per setup"
        return replace(problem, problem=f"'{typed[:40]}'{of} cannot be counted", fix=fix)
    ask = f"for each child, or in all? Write {typed} per child or {typed} per setup"
    return replace(problem, problem=f"'{typed}'{of} does not say for whom", fix=ask)


def _is_read(read: Callable[[str], object], text: str) -> bool:
    try:
        read(text)
    except Unreadable:
        return False
    return True


def _key(name: str) -> str:
    """``materials[2].amount`` → ``materials.amount``."""
    row = _ROW.fullmatch(name)
    return f"{row[1]}.{row[3]}" if row else name


def _typed(name: str, values: Mapping[str, Plain]) -> str:
    """What was typed into the field of a name."""
    row = _ROW.fullmatch(name)
    if row is None:
        return as_text(values.get(name))
    rows = values.get(row[1])
    there = rows[int(row[2])] if isinstance(rows, list) and int(row[2]) < len(rows) else None
    return as_text(there.get(row[3])) if isinstance(there, dict) else ""
