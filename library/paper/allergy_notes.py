"""Allergy notes by label, with an empty column for the name. Staff only, and the only sheet of this kind.

The program keeps no names, so a person writes them in by hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from library.paper.blocks import Block, Gap, Prose, Stack, heading, listing
from library.paper.children import attending, meets, not_known_of
from library.paper.furniture import Heading, build
from library.paper.job import Job, center_name, in_walking_order, title_of
from library.paper.sheet import Audience, Sheet
from library.paper.tables import Table, table
from library.paper.text import bold
from library.paper.writing import write_in
from library.room.room import Child
from library.safety.allergens import label_row
from library.units.placed import Placed

HEADING = Heading(
    "Allergy notes",
    "By label; write the names in by hand. Keep this where staff alone can read it.",
    Audience.STAFF,
)
SIZE = 10.5
WHY = (
    "Only what the materials list states was looked at. A label can change from pack to pack, so read "
    "the one in your hand. Each child's own plan, in the file, comes first."
)
"""Source: CDC, Voluntary Guidelines for Managing Food Allergies (2013), in our own words."""


def allergy_notes(job: Job) -> Sheet:
    """Each child with allergens: what they must not meet, and where this unit has it."""
    children = [child for child in attending(job) if child.allergens]
    blocks: list[Block] = [Prose(WHY, 11, 1.5)]
    if children:
        columns = (("Label", 28), ("Name", 38), ("Must not meet", 34), ("In this unit", 1.0))
        blocks.append(listing(columns, [_row(job, child) for child in children]))
        blocks += _instead(job, children)
    else:
        blocks.append(Prose("No allergens are noted for the children of this unit.", 12))
    emergency = (write_in("Emergency", "Office"), write_in("Medicine is in", "Trained adults"))
    blocks.append(Stack((heading("In an emergency"), *emergency, Gap(1.0)), whole=True))
    return build("allergy-notes", HEADING, job, [blocks], tables=(_table(job, children),))


def _every(job: Job) -> tuple[Placed, ...]:
    """All placements with their rain swaps, in walking order."""
    return in_walking_order(job, (*job.plan.placed, *job.plan.swaps))


def _row(job: Job, child: Child) -> tuple[Block, ...]:
    found = [
        Prose(
            (
                bold(m.item),
                f" ({', '.join(m.allergens)}): {title_of(m.placed)}, {center_name(m.placed.center)}",
            ),
            SIZE,
            0.4,
        )
        for m in meets(job, child, _every(job))
    ]
    unknown = not_known_of(job, child, _every(job))
    if unknown:
        text = f"not known, read the label first: {', '.join(unknown)}"
        found.append(Prose(text, SIZE, 0.4))
    nothing: list[Block] = [Prose("nothing in the materials list", SIZE, after=0)]
    return (
        Prose(bold(child.label), 13, after=0),
        Prose(" ", 13, after=8.0),
        Prose(bold(", ".join(child.allergens)), 12, after=0),
        Stack(tuple(found or nothing)),
    )


def _instead(job: Job, children: list[Child]) -> Iterator[Block]:
    """What can be taken instead, for the things that stand on the list."""
    items = [m.item for child in children for m in meets(job, child, _every(job))]
    rows = {item: row for item in dict.fromkeys(items) if (row := label_row(item))}
    if not rows:
        return
    yield heading("What to take instead")
    for item, row in rows.items():
        yield Prose((bold(f"{item}: "), row.instead), SIZE, 0.5, "dot")


def _table(job: Job, children: list[Child]) -> Table:
    rows = [
        (
            child.label,
            ", ".join(child.allergens),
            m.item,
            title_of(m.placed),
            center_name(m.placed.center),
        )
        for child in children
        for m in meets(job, child, _every(job))
    ]
    return table("allergies", "label must-not-meet item activity center", rows)
