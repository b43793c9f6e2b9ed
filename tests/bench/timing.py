"""Times several engines over the same questions, turn and turn about."""

from __future__ import annotations

import gc
import random
import statistics
import time
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from tests.bench.engines.common import Ask, Engine

PATIENCE = 10.0
SLOW = 0.1
"""Seconds of an operation that is no faster when warm."""


@dataclass(slots=True)
class Times:
    """What one engine took, in milliseconds."""

    name: str
    by_kind: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    given_up: bool = False
    """Whether some kind of question took so long that it was not asked as often as the others."""

    @property
    def all(self) -> list[float]:
        """Every operation."""
        return [each for times in self.by_kind.values() for each in times]


def median(times: Sequence[float]) -> float:
    """The middle one."""
    return statistics.median(times)


def percentile(times: Sequence[float], share: float = 0.95) -> float:
    """The time that all but a share of operations stay below."""
    return sorted(times)[min(len(times) - 1, round(share * len(times)))]


def time_engines(
    engines: Sequence[Engine], asks: Sequence[Ask], *, rounds: int, patience: float = PATIENCE
) -> list[Times]:
    """Each question to each engine, in an order that changes, several times over.

    The first round warms up and does not count. A kind of question for which an engine has used up
    our patience is asked no more: of Whoosh by its manual some take many seconds each.

    Args:
        engines: Filled.
        asks: The questions.
        rounds: How often each is asked, besides the first round.
        patience: Seconds for one engine and kind of question in all.
    """
    times = {engine.name: Times(engine.name) for engine in engines}
    spent: dict[tuple[str, str], float] = defaultdict(float)
    rng = random.Random(3)
    turns = [(engine, ask) for ask in asks for engine in engines]
    gc.collect()
    gc.disable()
    try:
        for turn in range(rounds + 1):
            rng.shuffle(turns)
            for engine, ask in turns:
                mine = times[engine.name]
                if spent[engine.name, ask.kind] > patience:
                    mine.given_up = True
                    continue
                began = time.perf_counter()
                engine.search(ask)
                took = time.perf_counter() - began
                spent[engine.name, ask.kind] += took
                if turn or took > SLOW:
                    mine.by_kind[ask.kind].append(took * 1000)
            gc.collect()
    finally:
        gc.enable()
    return list(times.values())
