"""Plans to print: the shipped cards in the Fern Room, and one in which every text is too long."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.paper.job import Job
from library.paper.pictograms import Pictograms, read_pictograms
from library.plan.unitplan import UnitPlan, plan_unit
from library.room.demo import demo_room
from library.room.room import Room
from library.store.paths import LibraryPaths
from library.units.theme import Book, Song, Theme
from library.units.unit import Placement, Unit
from tests.builders import MONDAY, a_unit

ROOT = Path(__file__).parents[3]
LONG_WORD = "leafwindrattle" * 4 + "dusk"
LONG_TITLE = f"The longest title that anyone will ever give to an activity, {LONG_WORD} and all"


@cache
def drawings() -> Pictograms:
    """The project's line drawings."""
    return read_pictograms((ROOT / "server/static/centers.svg").read_text(encoding="utf-8"))


@cache
def shipped_cards() -> dict[str, Card]:
    """Every card of the starter library by id."""
    folder = CardFolder(LibraryPaths(ROOT, ROOT / "nowhere"))
    return {card.id: card for card in folder.read_all()[0]}


def fern_room() -> Room:
    """The example room, in the week of the sample unit."""
    return demo_room(MONDAY)


def a_rich_theme(**fields) -> Theme:
    """Leaves and wind with words, books and songs."""
    return Theme(
        **{
            "id": "leaves-and-wind",
            "title": "Leaves and wind",
            "seasons": ("fall",),
            "words": (
                {"en": "leaf", "es": "hoja", "vi": "lá"},
                {"en": "wind", "es": "viento", "vi": "gió"},
                {"en": "gust"},
                {"en": "rake", "es": "rastrillo"},
            ),
            "books": (Book("A walk under the maples", "Fern Room", ""),),
            "songs": (
                Song(
                    "The leaves come down",
                    "Down, down,\nthe leaves come down,\nred and gold and brown.",
                ),
            ),
            "bin": "C2",
            **fields,
        }
    )


def placements(cards: dict[str, Card], room: Room) -> tuple[Placement, ...]:
    """One or two cards of each center: for the unit, by the week, and on two days."""
    found: list[Placement] = []
    for number, center in enumerate(room.centers):
        here = [card.id for card in cards.values() if center in card.centers][:3]
        if not here or number == 6:
            found.append(Placement(center, None, standing=True, add="gourds among the shelves"))
        elif number % 3 == 0 and len(here) > 1:
            found += [
                Placement(center, here[0], weeks=(1,)),
                Placement(center, here[1], weeks=(2,)),
            ]
        elif number % 3 == 1:
            found.append(
                Placement(center, here[0], note="The paper slid last year; clip both edges.")
            )
        else:
            found.append(Placement(center, here[0], on=("tue", "thu"), instead=here[-1]))
    return tuple(found)


def a_plan(room: Room | None = None, theme: Theme | None = None, **unit) -> UnitPlan:
    """Two weeks with all fifteen centers of the Fern Room, from the shipped cards."""
    room, cards = room or fern_room(), shipped_cards()
    folder = CardFolder(LibraryPaths(ROOT, ROOT / "nowhere"))
    return plan_unit(
        a_unit(*placements(cards, room), **unit),
        theme or a_rich_theme(),
        cards,
        room,
        materials=folder.materials()[0],
        today=MONDAY - dt.timedelta(14),
    )


def an_overlong_plan() -> UnitPlan:
    """The same unit with titles, names, notes and texts that are far too long."""
    plan = a_plan()
    room = replace(
        plan.room,
        name=f"Fern Room {LONG_WORD}",
        centers=(*plan.room.centers, "quiet-corner-by-the-window"),
    )
    cards = {
        key: replace(
            card,
            title=LONG_TITLE,
            body=card.body + f"\n\n## Easier\n\n{LONG_WORD} " + "Slowly. " * 60,
        )
        for key, card in plan.cards.items()
    }
    unit = replace(
        plan.unit,
        title=LONG_TITLE,
        placements=tuple(replace(p, note=f"{LONG_WORD} " * 6) for p in plan.unit.placements),
    )
    return plan_unit(unit, plan.theme, cards, room, materials=plan.materials, today=plan.today)


def a_job(plan: UnitPlan | None = None, **fields) -> Job:
    """A job on Letter with the project's drawings."""
    return Job(plan or a_plan(), pictograms=drawings(), **fields)


def unit_of(plan: UnitPlan) -> Unit:
    """The unit of a plan."""
    return plan.unit
