"""``allergens.yaml``: which published lists of allergens a library reads, besides that of the United States."""

from __future__ import annotations

from library.store.problems import Problem
from library.store.yamltext import load_yaml

FILE = "activities/allergens.yaml"
_HEAD = """\
# Which published lists of allergens this library reads.
# us  the nine of the United States (FALCPA and the FASTER Act)
# eu  the fourteen of the European Union (Regulation 1169/2011, Annex II): gluten is wheat, rye, barley and oats
"""
US_ALONE = f"{_HEAD}lists: [us]\n"
"""The file of a library that reads the list of the United States alone, as one without a file does."""
BOTH_LISTS = f"{_HEAD}lists: [us, eu]\n"
"""The file of a library that reads both."""


def reads_eu(text: str) -> tuple[bool, tuple[Problem, ...]]:
    """Whether the file asks for the EU's list, and what is wrong with it.

    A file that cannot be read, or names a list that is not known, reads the EU's too: more names
    count then, never fewer.
    """
    if not text.strip():
        return False, ()
    loaded = load_yaml(text.removeprefix("\ufeff"))
    lists = loaded.value.get("lists") if isinstance(loaded.value, dict) else None
    names = [str(each).strip().casefold() for each in lists] if isinstance(lists, list) else []
    if loaded.problems or not names or not set(names) <= {"us", "eu"}:
        problem = Problem(
            FILE,
            1,
            "lists",
            "the lists of allergens cannot be read",
            "write lists: [us] or lists: [us, eu]",
        )
        return True, (*(each.in_file(FILE) for each in loaded.problems), problem)
    return "eu" in names, ()
