"""Puts each step into the last session that has room for it, once the sessions are chosen.

The stages decide when prep starts and which sessions there are; which step lies in which of them
they leave open. A step that is done later is fresher and sooner needed, so it goes as late as it
fits.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from library.prep.arranging import Slot, arrange
from library.prep.model import ending
from library.prep.work import Piece, Work

ROUNDS = 4
"""How often all steps are gone through: one that moves leaves room for another."""


def put_off(work: Work, slots: Sequence[Slot]) -> tuple[Slot, ...]:
    """The same sessions, with whole steps moved from earlier ones into later ones.

    Only dates within the chosen sessions change: no session is added, none starts earlier, and no
    minute becomes late (PREP13, PREP14). Batches that spoil come first, since room later on is
    worth most to them. A step in pieces, or one that a person has put somewhere, stays.
    """
    pinned = {pin.task for pin in work.pins}
    plan = _Plan(work, tuple(slots))
    for _ in range(ROUNDS):
        moved = sum(plan.delay(task) for task in _order(work) if task not in pinned)
        if not moved:
            break
    return plan.slots


def _order(work: Work) -> Iterator[int]:
    """Tasks, batches that spoil first, and each batch from its last step on."""
    spoils = {c: any(work.tasks[t].earliest_end is not None for t in c) for c in work.chains}
    for chain in sorted(work.chains, key=lambda c: not spoils[c]):
        yield from reversed(chain)


class _Plan:
    """A plan whose steps can be moved one at a time."""

    def __init__(self, work: Work, slots: tuple[Slot, ...]) -> None:
        self.work = work
        self.slots = slots
        self.crews: dict[int, tuple[int, ...]] = {}
        for window in {slot.piece.window for slot in slots}:
            adults = {slot.adult for slot in slots if slot.piece.window == window}
            self.crews[window] = tuple(sorted(adults))

    def delay(self, task: int) -> bool:
        """Moves a task into the last session that takes it; False where it stays."""
        mine = [slot.piece for slot in self.slots if slot.piece.task == task]
        if len(mine) != 1 or mine[0].minutes != self.work.tasks[task].minutes:
            return False
        return any(self._move(mine[0], window) for window in self._later(mine[0]))

    def _later(self, piece: Piece) -> list[int]:
        """The windows that it could go to by its own limits and the steps below it, last first."""
        work, task = self.work, self.work.tasks[piece.task]
        below = [
            work.place[slot.piece.window]
            for slot in self.slots
            if self._is_below(slot.piece.task, piece.task)
        ]
        until = min(below, default=len(work.windows))
        return [
            window
            for window in sorted(self.crews, reverse=True)
            if window > piece.window
            and window in work.usable[task.number]
            and work.place[window] <= until
            and work.longest_piece(task.number, window) >= piece.minutes
            and work.ends_fresh(task.number, window)
        ]

    def _is_below(self, other: int, task: int) -> bool:
        one, two = self.work.tasks[task], self.work.tasks[other]
        return (one.activity, one.batch) == (two.activity, two.batch) and two.step > one.step

    def _move(self, piece: Piece, window: int) -> bool:
        """Moves a piece if what then lies in both places still goes together."""
        moved = Piece(piece.task, window, piece.minutes)
        pieces = [moved if s.piece is piece else s.piece for s in self.slots]
        if self._is_over_full(pieces, window):
            return False
        places = {self.work.place[piece.window], self.work.place[window]}
        slots = [s for s in self.slots if self.work.place[s.piece.window] not in places]
        for place in places:
            there = [p for p in pieces if self.work.place[p.window] == place]
            crews = {p.window: self.crews[p.window] for p in there}
            found = arrange(self.work, there, crews, ending(self.work, pieces, there))
            if found.slots is None:
                return False
            slots += found.slots
        self.slots = tuple(slots)
        return True

    def _is_over_full(self, pieces: Collection[Piece], window: int) -> bool:
        asked = sum(piece.minutes for piece in pieces if piece.window == window)
        return asked > self.work.windows[window].minutes * len(self.crews[window])
