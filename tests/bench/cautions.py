"""Measures the cautions: one unit of 40 placements, and 10,000 cards.

Run: ``python -m tests.bench.cautions``
"""

from __future__ import annotations

import datetime as dt
import random
import resource
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from library.cards.card import Card
from library.cards.parsing import parse_card
from library.materials.material import MaterialBook
from library.materials.parsing import parse_materials
from library.materials.shapes import Box, Cylinder, Ellipsoid, Shape
from library.plan.checks import check_unit
from library.plan.unitplan import plan_unit
from library.room.room import Child, Room
from library.safety.checks import card_findings
from library.safety.small_parts import fit, is_small_part
from library.units.unit import Placement, Unit
from tests.bench.cards import card_texts

T = TypeVar("T")
ACTIVITIES = Path(__file__).parents[2] / "activities"
MONDAY = dt.date(2026, 10, 5)
ROOM = Room(
    "Fern Room",
    2,
    tuple(Child(f"c{n}", (2023 + n % 2, 1 + n), allergens=("wheat",) * (n == 3)) for n in range(8)),
)


def main() -> None:
    """Prints what each measure takes."""
    for name, took in measure_cautions().items():
        print(f"{name:<50}{took:>10.3f}")
    print(f"largest memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


def measure_cautions() -> dict[str, float]:
    """Every figure of this file."""
    book, cards = shipped()
    return {**unit_of_40(book, cards), **ten_thousand(book), **shapes()}


def shipped() -> tuple[MaterialBook, list[Card]]:
    """The library that comes with the program."""
    book, _ = parse_materials((ACTIVITIES / "materials.yaml").read_text(encoding="utf-8"))
    files = sorted(ACTIVITIES.glob("*/*.md"))
    parsed = (parse_card(file.read_text(encoding="utf-8"), file.name).card for file in files)
    return book, [card for card in parsed if card]


def unit_of_40(book: MaterialBook, cards: list[Card]) -> dict[str, float]:
    """All checks over two weeks of 40 placements, first with nothing known and then again."""
    chosen = cards[:: max(1, len(cards) // 40)][:40]
    placements = tuple(Placement(card.centers[0], card.id) for card in chosen)
    unit = Unit("leaves-and-wind", "bench", "Bench", MONDAY, 2, placements)
    cards_by_id = {card.id: card for card in chosen}
    times = []
    for _ in range(5):
        plan = plan_unit(unit, None, cards_by_id, ROOM, materials=book)
        times.append(timed(lambda p=plan: check_unit(p).findings)[1] * 1000)
    return {
        "all checks of 40 placements the first time, ms": times[0],
        "all checks of 40 placements again, ms": min(times[1:]),
    }


def ten_thousand(book: MaterialBook) -> dict[str, float]:
    """Every check over 10,000 made-up cards with the shipped materials, one after another."""
    rng = random.Random(7)
    names = [material.item for material in book]
    made = [card for text in card_texts(10_000) if (card := parse_card(text, "").card)]
    cards = [
        replace(card, materials=tuple(replace(m, item=rng.choice(names)) for m in card.materials))
        for card in made
    ]
    _, took = timed(lambda: [f for card in cards for f in card_findings(card, book)])
    return {"all checks of 10,000 cards, s": took}


def shapes() -> dict[str, float]:
    """1,000 shapes near the edge of fitting, each seen for the first time."""
    rng = random.Random(3)
    made: list[Shape] = []
    for number in range(1000):
        a, b, c = rng.uniform(2, 32), rng.uniform(2, 36), rng.uniform(10, 66)
        made.append((Box(a, b, c), Ellipsoid(a, b, c), Cylinder(a, c))[number % 3])
    _, answered = timed(lambda: [is_small_part(shape) for shape in made])
    _, fitted = timed(lambda: [fit(shape) for shape in made])
    return {"1,000 small parts answered, s": answered, "1,000 margins besides, s": fitted}


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """What some work gives, and the seconds it took."""
    start = time.perf_counter()
    result = work()
    return result, time.perf_counter() - start


if __name__ == "__main__":
    main()
