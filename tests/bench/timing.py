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

PATIENCE = 90.0
SLOW = 0.02
"""Seconds of an operation that is no faster when warm."""


@dataclass(slots=True)
class Times:
    """What one engine took, in milliseconds."""

    name: str
    by_kind: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

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

    The first round warms up and does not count. An engine that has used up our patience is asked no
    more: of Whoosh by its manual some questions take many seconds each.

    Args:
        engines: Filled.
        asks: The questions.
        rounds: How often each is asked, besides the first round.
        patience: Seconds for one engine in all.
    """
    times = {engine.name: Times(engine.name) for engine in engines}
    spent: dict[str, float] = defaultdict(float)
    rng = random.Random(3)
    turns = [(engine, ask) for ask in asks for engine in engines]
    gc.collect()
    gc.disable()
    try:
        for turn in range(rounds + 1):
            rng.shuffle(turns)
            for engine, ask in turns:
                if spent[engine.name] > patience:
                    continue
                began = time.perf_counter()
                engine.search(ask)
                took = time.perf_counter() - began
                spent[engine.name] += took
                if turn or took > SLOW:
                    times[engine.name].by_kind[ask.kind].append(took * 1000)
            gc.collect()
    finally:
        gc.enable()
    return list(times.values())
