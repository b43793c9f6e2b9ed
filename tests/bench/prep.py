"""Measures prep: 14 cards over two weeks with 30 and 60 steps, and what the solver asks for.

Run: ``python -m tests.bench.prep``
"""

from __future__ import annotations

import argparse
import datetime as dt
import random
import resource
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from library.cards.card import Card
from library.cards.folder import CardFolder
from library.cards.values import AgeRange, Span, Step, When
from library.prep.prep import Prep, plan_prep
from library.room.demo import demo_room
from library.room.room import WORKING_WEEK, PrepWindow, Room
from library.store.paths import LibraryPaths
from library.units.folder import UnitFolder
from library.units.placed import Placed, lay_out
from library.units.unit import Placement, Unit

MONDAY = dt.date(2026, 10, 5)
CARDS = 14
SIZES = (30, 60)
DAY = 24 * 60
ROOT = Path(__file__).parents[2]
NAP = PrepWindow(WORKING_WEEK, dt.time(13), dt.time(13, 40))
ROOMS = {
    "one adult at each nap": Room("Fern Room", prep_windows=(NAP,)),
    "two adults on two days": Room(
        "Fern Room",
        prep_windows=(PrepWindow(("tue", "thu"), dt.time(13), dt.time(13, 40), adults=2),),
    ),
    "tight: 25 minutes on three days": Room(
        "Fern Room",
        prep_windows=(PrepWindow(("mon", "wed", "fri"), dt.time(13), dt.time(13, 25)),),
    ),
}
IMPORTING = """
import time, psutil
import library.prep.prep
memory = psutil.Process().memory_info
before, began = memory().rss, time.perf_counter()
import highspy
took = time.perf_counter() - began
print((memory().rss - before) / 2**20, took * 1000)
"""


@dataclass(frozen=True, slots=True)
class Measured:
    """One plan."""

    steps: int
    room: str
    seconds: float
    prep: Prep


def main() -> None:
    """Prints what each measure takes."""
    options = _options()
    shipped()
    for steps in SIZES:
        for name, room in ROOMS.items():
            several(name, room, steps, options.seeds)
    megabytes, took = subprocess.run(
        [sys.executable, "-c", IMPORTING], check=True, capture_output=True, text=True
    ).stdout.split()
    print(f"importing the solver: {float(megabytes):.0f} MB, {float(took):.0f} ms")
    print(f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench.prep", description=__doc__)
    parser.add_argument("--seeds", type=int, default=5, help="made-up units of each kind")
    return parser.parse_args()


def shipped() -> None:
    """The units that come with the program, in the example room."""
    for unit, placed in shipped_units():
        began = time.perf_counter()
        prep = plan_prep(unit, placed, demo_room(MONDAY))
        took = time.perf_counter() - began
        steps = sum(len(session.steps) for session in prep.sessions) + len(prep.late)
        print(f"{unit.id}: {steps} steps, {took:.2f} s, {outcome(prep)}")


def shipped_units() -> list[tuple[Unit, tuple[Placed, ...]]]:
    """Every unit of the starter library with its placements, laid out."""
    paths = LibraryPaths(ROOT, ROOT / "no-data")
    cards = {card.id: card for card in CardFolder(paths).read_all()[0]}
    folder = UnitFolder(paths)
    return [
        (unit, lay_out(unit, folder.read_theme(unit.theme).theme, cards, demo_room(MONDAY)))
        for unit in folder.read_all()[0]
    ]


def several(name: str, room: Room, steps: int, seeds: int) -> None:
    """Made-up units of one size in one room."""
    found = [measure(name, room, steps, seed) for seed in range(seeds)]
    seconds = [each.seconds for each in found]
    proven = sum(each.prep.proof.proven for each in found)
    print(
        f"{CARDS} cards, two weeks, {steps} steps, {name}: median {median(seconds):.2f} s, "
        f"longest {max(seconds):.2f} s, {proven} of {len(found)} proven best, "
        f"late minutes {[each.prep.late_minutes for each in found]}"
    )


def measure(name: str, room: Room, steps: int, seed: int) -> Measured:
    """One made-up unit."""
    unit, cards = a_made_up_unit(steps, seed)
    placed = lay_out(unit, None, {card.id: card for card in cards}, room)
    began = time.perf_counter()
    prep = plan_prep(unit, placed, room)
    return Measured(steps, name, time.perf_counter() - began, prep)


def a_made_up_unit(steps: int, seed: int) -> tuple[Unit, list[Card]]:
    """Fourteen cards, half of them from the second week on, some with waits and keeps."""
    rng = random.Random(f"{steps}/{seed}")
    shares = [steps // CARDS + (number < steps % CARDS) for number in range(CARDS)]
    cards = [a_made_up_card(number, count, rng) for number, count in enumerate(shares)]
    placements = tuple(
        Placement(card.centers[0], card.id, weeks=(1 + number % 2,))
        for number, card in enumerate(cards)
    )
    return Unit("leaves-and-wind", "bench", "Bench", MONDAY, 2, placements), cards


def a_made_up_card(number: int, steps: int, rng: random.Random) -> Card:
    """A card with so many steps ahead."""
    minutes = [rng.choice((3, 4, 5, 6, 8, 10, 12, 15, 25)) for _ in range(steps)]
    return Card(
        id=f"card-{number}",
        title=f"Card {number}",
        centers=("water",),
        ages=AgeRange(24, 48),
        prep=sum(minutes),
        wait=rng.choice((None, None, Span(12 * 60), Span(DAY))),
        keeps=rng.choice((None, None, None, Span(7 * DAY))),
        steps=tuple(Step(f"step {place}", each, When.AHEAD, False)
                    for place, each in enumerate(minutes)),
    )  # fmt: skip


def outcome(prep: Prep) -> str:
    """What came of it, in a few words."""
    said = "proven best" if prep.proof.proven else "not proven"
    return f"{len(prep.sessions)} sessions from {prep.starts}, {prep.late_minutes} min late, {said}"


if __name__ == "__main__":
    main()
