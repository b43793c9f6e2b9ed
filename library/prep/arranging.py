"""Gives every piece of one stretch of a day its adult and its minute, or finds that it cannot be done.

A stretch is one window, or several that overlap. What was put into each window is given.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from library.prep.work import Piece, Work

MOST_LOOKS = 20_000
"""Steps of the search in one stretch; a stretch holds a dozen pieces or so."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A piece with its adult and its first minute."""

    piece: Piece
    adult: int
    """From 1 to the window's adults."""
    start: int

    @property
    def end(self) -> int:
        """The minute at which it has ended."""
        return self.start + self.piece.minutes


@dataclass(frozen=True, slots=True)
class Arrangement:
    """What came of it."""

    slots: tuple[Slot, ...] | None
    """None: the pieces do not go together."""
    certain: bool = True
    """False where the search stopped at its limit, so that None is not proven."""


def arrange(
    work: Work,
    pieces: Sequence[Piece],
    adults: Mapping[int, Sequence[int]],
    ending: Collection[int],
) -> Arrangement:
    """Arranges the pieces of one stretch (PREP5, PREP12).

    Pieces are taken in the order of their beginnings, and each goes to the adult who is free
    first. Every plan that cannot be moved forward comes about in this way, so where there is a
    plan one is found.

    Args:
        work: Tasks, windows and pins.
        pieces: What lies in the stretch.
        adults: By window, the adults who may work in it.
        ending: Tasks whose last piece lies in this stretch.
    """
    search = _Search(work, tuple(pieces), adults, frozenset(ending))
    slots = search.run(frozenset(range(len(pieces))), ())
    return Arrangement(slots, slots is not None or search.looks <= MOST_LOOKS)


@dataclass(slots=True)
class _Search:
    work: Work
    pieces: tuple[Piece, ...]
    adults: Mapping[int, Sequence[int]]
    ending: frozenset[int]
    looks: int = 0
    has_pins: bool = field(init=False)

    def __post_init__(self) -> None:
        pins = (self.work.pinned.get((piece.task, piece.window)) for piece in self.pieces)
        self.has_pins = any(pin is not None and pin.adult for pin in pins)

    def run(self, left: frozenset[int], slots: tuple[Slot, ...]) -> tuple[Slot, ...] | None:
        """The slots of all pieces, those in ``slots`` first; None where the rest does not go in."""
        if not left:
            return slots
        self.looks += 1
        if self.looks > MOST_LOOKS or not self._still_possible(left, slots):
            return None
        for index in sorted(left, key=self._urgency):
            if self._waits_for_another(index, left):
                continue
            for slot in self._choices(index, left, slots):
                found = self.run(left - {index}, (*slots, slot))
                if found is not None:
                    return found
        return None

    def _choices(self, index: int, left: frozenset[int], slots: tuple[Slot, ...]) -> list[Slot]:
        """Where a piece may go next; empty where its time is up."""
        piece = self.pieces[index]
        task, window = self.work.tasks[piece.task], self.work.windows[piece.window]
        begin = max((s.end for s in slots if self._precedes(s.piece, piece)), default=0)
        is_last = not any(self.pieces[i].task == piece.task for i in left - {index})
        if task.earliest_end is not None and is_last and piece.task in self.ending:
            begin = max(begin, task.earliest_end - piece.minutes)
        free = {
            adult: self._free(piece.window, adult, slots) for adult in self.adults[piece.window]
        }
        adults = sorted(free, key=lambda adult: (free[adult], adult))
        pin = self.work.pinned.get((piece.task, piece.window))
        if pin is not None and pin.adult:
            adults = [adult for adult in adults if adult == pin.adult]
        elif not self.has_pins:
            adults = adults[:1]
        choices = [Slot(piece, adult, max(begin, free[adult])) for adult in adults]
        return [slot for slot in choices if slot.end <= min(window.end, task.latest_end)]

    def _free(self, window: int, adult: int, slots: tuple[Slot, ...]) -> int:
        """The minute from which an adult has time in a window."""
        mine = (s.end for s in slots if s.piece.window == window and s.adult == adult)
        return max(mine, default=self.work.windows[window].start)

    def _still_possible(self, left: frozenset[int], slots: tuple[Slot, ...]) -> bool:
        """Whether the minutes left still go into each window's free time."""
        for window, adults in self.adults.items():
            asked = sum(self.pieces[i].minutes for i in left if self.pieces[i].window == window)
            end = self.work.windows[window].end
            if asked > sum(end - self._free(window, adult, slots) for adult in adults):
                return False
        return True

    def _waits_for_another(self, index: int, left: frozenset[int]) -> bool:
        """Whether an earlier step of the same batch has not been placed yet."""
        mine = self.pieces[index]
        others = (self.pieces[i] for i in left if self.pieces[i].task != mine.task)
        return any(self._precedes(other, mine) for other in others)

    def _precedes(self, first: Piece, second: Piece) -> bool:
        """Whether the first must have ended before the second begins: same task or same batch."""
        one, two = self.work.tasks[first.task], self.work.tasks[second.task]
        return (one.activity, one.batch) == (two.activity, two.batch) and one.step <= two.step

    def _urgency(self, index: int) -> tuple[int, int, int]:
        task = self.work.tasks[self.pieces[index].task]
        return (task.latest_end, task.step, -self.pieces[index].minutes)
