"""The table of everything that can be printed. A new sheet is one module and one line here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from library.paper.allergy_notes import allergy_notes
from library.paper.closet_list import closet_list
from library.paper.family_letter import family_letter
from library.paper.job import Job
from library.paper.jot_sheet import jot_sheet
from library.paper.labels import bin_labels, shelf_labels
from library.paper.pack_away_list import pack_away_list
from library.paper.posted_plan import posted_plan
from library.paper.prep_sheet import prep_sheet
from library.paper.setup_sheets import setup_sheets
from library.paper.setup_walk import setup_walk
from library.paper.sheet import Audience, Sheet
from library.paper.shopping_list import shopping_list
from library.paper.substitute_sheet import substitute_sheet
from library.paper.wash_list import wash_list
from library.room.labels import labels_in
from library.store.errors import WrongUse

POSTED, FAMILY, STAFF = Audience


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the table."""

    title: str
    about: str
    """What it is for, in one sentence."""
    audience: Audience
    make: Callable[[Job], Sheet]
    paper: str = "plain paper"
    """What to load."""


SHEETS: dict[str, Entry] = {
    "posted-plan": Entry(
        "Posted plan",
        "The plan for the door: days across, centers down, to be read from two steps away.",
        POSTED,
        posted_plan,
    ),
    "setup-sheets": Entry(
        "Set-up sheets",
        "Half a page for each activity, to lie where the hands are.",
        POSTED,
        setup_sheets,
        "card stock, or plain paper to laminate",
    ),
    "setup-walk": Entry(
        "Set-up walk",
        "What to carry where, in walking order, with bins and amounts.",
        STAFF,
        setup_walk,
    ),
    "prep-sheet": Entry(
        "Prep sheet",
        "Nap time by nap time: what to make ready, from which bin, and what to pull for tomorrow.",
        STAFF,
        prep_sheet,
    ),
    "closet-list": Entry(
        "Closet list", "Bin by bin: what this unit takes from the shelves.", STAFF, closet_list
    ),
    "shopping-list": Entry(
        "Shopping list", "What the shelf lacks, where to get it, and by when.", STAFF, shopping_list
    ),
    "pack-away-list": Entry(
        "Pack-away list",
        "What goes back where, and lines for the look back.",
        STAFF,
        pack_away_list,
    ),
    "wash-list": Entry(
        "Wash list", "What is washed when, with a box for each day.", STAFF, wash_list
    ),
    "allergy-notes": Entry(
        "Allergy notes",
        "By label, with an empty column for the names; staff only.",
        STAFF,
        allergy_notes,
    ),
    "substitute-sheet": Entry(
        "Substitute sheet",
        "One day for someone who has never been in the room.",
        STAFF,
        substitute_sheet,
    ),
    "jot-sheet": Entry(
        "Jot sheet", "A grid by label and day, for a pen while children play.", STAFF, jot_sheet
    ),
    "family-letter": Entry(
        "Family letter",
        "What we play, words and songs, books, what to try at home and what to bring.",
        FAMILY,
        family_letter,
    ),
    "bin-labels": Entry(
        "Bin labels",
        "95 by 50 mm, with cut marks: the bin and what lies in it.",
        POSTED,
        bin_labels,
        "card stock",
    ),
    "shelf-labels": Entry(
        "Shelf labels",
        "63 by 40 mm, with cut marks: centers and the theme's words, with a picture.",
        POSTED,
        shelf_labels,
        "card stock",
    ),
}
"""Name on the command line and in addresses → what it is."""


def make_sheet(name: str, job: Job) -> Sheet:
    """Makes the sheet of a name; an unmistakable beginning of the name is enough.

    Raises:
        WrongUse: If no sheet, or more than one, is called so; lists them all.
    """
    return SHEETS[sheet_name(name)].make(job)


def sheet_name(text: str) -> str:
    """The full name of a sheet.

    Raises:
        WrongUse: If no sheet, or more than one, is called so; lists them all.
    """
    wanted = text.strip().casefold().replace(" ", "-")
    found = [wanted] if wanted in SHEETS else [name for name in SHEETS if name.startswith(wanted)]
    if len(found) != 1 or not wanted:
        raise WrongUse(f"what to print: found '{text[:60]}'; expected one of {', '.join(SHEETS)}")
    return found[0]


def labels_on(sheet: Sheet, job: Job) -> tuple[str, ...]:
    """Labels of the room's children that stand as words on a sheet for everybody's eyes.

    A label may be an everyday word, and a person may have written one into a note or a letter, so
    this is a question to whoever prints.
    """
    if sheet.audience is Audience.STAFF:
        return ()
    return labels_in(sheet.text, (child.label for child in job.room.children))
