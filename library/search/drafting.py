"""A few lines about an activity, read into fields of a card for a person to confirm."""

from __future__ import annotations

import re
from dataclasses import dataclass

from library.search.question import Question
from library.store.yamltext import Plain

LONGEST_TITLE = 60
"""Letters of a first line that can be a title; a longer one is a sentence."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+")


@dataclass(frozen=True, slots=True)
class Draft:
    """What was read."""

    fields: dict[str, Plain]
    """Values by the names of a card's fields; only what was said."""
    title: str
    summary: str
    what_to_do: str
    """What is left of the lines."""


def draft_card(text: str, question: Question) -> Draft:
    """A first draft from a few lines.

    The first line is the title where it is short and no sentence; the next sentence is the summary;
    everything else is what to do. Nothing that was written is dropped, also where a condition was
    read from it, for only the teacher knows whether it belongs in the text too.

    Args:
        text: The lines.
        question: The same lines as the reader of questions read them.
    """
    lines = [line.strip() for line in text.strip().splitlines()]
    first = lines[0] if lines else ""
    is_title = bool(first) and len(first) <= LONGEST_TITLE and first[-1] not in ".!?:;,"
    rest = "\n".join(lines[1:] if is_title else lines).strip()
    parts = _SENTENCE.split(rest, maxsplit=1)
    return Draft(
        fields=_fields(question),
        title=first if is_title else "",
        summary=" ".join(parts[0].split()),
        what_to_do=parts[1].strip() if len(parts) > 1 else "",
    )


def _fields(question: Question) -> dict[str, Plain]:
    said = question.conditions
    prep = said.prep_max if said.prep_max is not None else said.prep_min
    ages = said.age_range or ((said.age_months, said.age_months) if said.age_months else None)
    found: dict[str, Plain] = {
        "centers": list(said.centers),
        "ages": f"{ages[0]}-{ages[1]}" if ages else "",
        "prep": str(prep) if prep is not None else "",
        "group": str(said.group or ""),
        "adult": said.adult or "",
        "mess": str(said.mess_max) if said.mess_max is not None else "",
        "place": said.place or "",
        "seasons": [said.season] if said.season else [],
        "technique": said.technique or "",
        "domains": [code for code in said.domains if code[-1:].isdigit()],
        "materials": [{"item": group[0]} for group in said.with_ if len(group) == 1],
    }
    return {name: value for name, value in found.items() if value}
