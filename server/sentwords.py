"""A change of a plan in words, as it was sent, where the plan that it was made on is not known any more."""

from __future__ import annotations

from collections.abc import Callable

from werkzeug.datastructures import MultiDict

from library.cards.centers import center_title
from server.unitedits import EDITS, PROP
from server.words import long_day

Titles = Callable[[str], str]
"""Id of a card → its title; the id where there is no card."""


def in_sent_words(form: MultiDict[str, str], titles: Titles) -> tuple[str, ...]:
    """What was to be done, then everything that was chosen or typed for it, each with its name.

    Args:
        form: The form as it was sent; what says nothing to a person is left out.
        titles: What cards are called.
    """
    done = EDITS.get(form.get("do", ""))
    said = [done.says] if done else []
    for name, values in form.lists():
        shown = ", ".join(_shown(name, value, titles) for value in values if value.strip())
        if shown and (label := _label(name)):
            said.append(f"{label}: {shown}")
    return tuple(said)


_LABELS = {
    "activity": "activity",
    "center": "at",
    "week": "week",
    "from": "from week",
    "day": "stands on",
    "last": "last day",
    "when": "only in",
    "add": "one thing added",
    "note": "note for the team",
    "instead": "when it rains",
}
"""What the page calls a field."""


def _label(name: str) -> str:
    return name.removeprefix(PROP) if name.startswith(PROP) else _LABELS.get(name, "")


def _shown(name: str, value: str, titles: Titles) -> str:
    if name in {"activity", "instead"}:
        return titles(value)
    if name == "center":
        return center_title(value)
    return long_day(value) if name in {"day", "last"} else value
