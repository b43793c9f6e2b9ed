"""A quick hand that packs work into chosen sessions from the last to the first.

It proves nothing where it fails. Where it succeeds on sessions that no plan can beat
(``model.CoarseModel``), the plan is the best there is and no solver has to search for one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from library.prep.tasks import SHORTEST_PIECE
from library.prep.work import Piece, Work

KEPT = 12
"""Half-done packings that are carried on from session to session."""
FILLINGS = 2
"""Different fillings of a session that are tried for each taste."""
TASTES = (2.0, 1.3)
"""How much more a long step is worth than a short one: its minutes to this power. Long steps first,
since short ones fill gaps."""
_MUST = 1_000_000
"""Worth of a task that has no later chance; more than all others of a session together."""

Parts: TypeAlias = tuple[tuple[int, int], ...]
"""Tasks with minutes."""


@dataclass(frozen=True, slots=True)
class Packed:
    """What the packer came to."""

    pieces: tuple[Piece, ...]
    left: tuple[int, ...]
    """Tasks that found no place, or not all of it; empty where the work is done."""


@dataclass(frozen=True, slots=True)
class _Choice:
    """What one batch could put into a session: the steps nearest its end, whole or in part."""

    batch: int
    minutes: int
    worth: float
    parts: Parts


_Fillings: TypeAlias = dict[int, tuple[float, tuple[_Choice, ...]]]
"""By minutes filled, the worthiest choices that fill them, with what they are worth."""


@dataclass(frozen=True, slots=True)
class _Session:
    """One session to fill."""

    window: int
    room: int
    """Minutes."""
    later: frozenset[int]
    """Windows of the sessions that are filled after it, so lie before it in time."""
    together: bool
    """Whether another adult's session at the same place in time has been filled before."""


@dataclass(frozen=True, slots=True)
class _State:
    """A half-done packing."""

    steps: tuple[int, ...]
    """By batch, how many of its steps are not done."""
    minutes: tuple[int, ...]
    """By batch, minutes left of the last step that is not done; 0 where all are."""
    wasted: int = 0
    """Minutes of the sessions so far that nothing fills."""
    pieces: tuple[Piece, ...] = ()
    beside: Mapping[int, int] = field(default_factory=dict)
    """By batch, minutes that other adults spend on it at the same place in time."""
    shares: bool = False
    """Whether two adults work on one batch there; the one begins with it, the other ends with it."""


def pack(work: Work, sessions: Mapping[int, int], *, whole: bool = False) -> Packed:
    """Fills the sessions with as much of the work as goes in.

    From the last session to the first, each is filled as full as can be, which for one session is
    a knapsack solved exactly. A few half-done packings are carried on side by side, those first
    that waste least.

    Args:
        work: Every active task must find its place.
        sessions: By window, how many adults work.
        whole: Whether a long step that goes into a session whole is never divided.
    """
    packer = _Packer(work, whole)
    states = [packer.start()]
    order = [w for w in sorted(sessions, reverse=True) for _ in range(sessions[w])]
    for turn, window in enumerate(order):
        together = turn > 0 and work.place[order[turn - 1]] == work.place[window]
        later = frozenset(order[turn + 1 :])
        session = _Session(window, work.windows[window].minutes, later, together)
        states = packer.best(after for s in states for after in packer.carry_on(s, session))
    best = min(states, key=packer.left_minutes)
    left = (t for b, chain in enumerate(work.chains) for t in chain[: best.steps[b]])
    return Packed(best.pieces, tuple(left))


class _Packer:
    def __init__(self, work: Work, whole: bool) -> None:
        self.work = work
        self.divided = {
            task
            for task in work.active
            if work.tasks[task].may_split
            and not (whole and any(self._holds(task, window) for window in work.usable[task]))
        }

    def _holds(self, task: int, window: int) -> bool:
        asked = self.work.tasks[task].minutes
        fresh = self.work.ends_fresh(task, window)
        return fresh and self.work.longest_piece(task, window) >= asked

    def start(self) -> _State:
        """Nothing done yet."""
        chains = self.work.chains
        return _State(
            tuple(len(chain) for chain in chains),
            tuple(self.work.tasks[chain[-1]].minutes for chain in chains),
        )

    def left_minutes(self, state: _State) -> int:
        """Minutes that are not done."""
        asked = sum(self.work.tasks[task].minutes for task in self.work.active)
        return asked - sum(piece.minutes for piece in state.pieces)

    def best(self, states: Iterable[_State]) -> list[_State]:
        """The states to carry on: no two with the same work left, least waste and short steps first."""
        different = {(s.steps, s.minutes, s.shares): s for s in states}
        return sorted(different.values(), key=lambda s: (s.wasted, self._bulk(s), s.steps))[:KEPT]

    def carry_on(self, state: _State, session: _Session) -> Iterable[_State]:
        """The state after one more session, filled in a few ways."""
        if not session.together:
            state = replace(state, beside={}, shares=False)
        for taste in TASTES:
            fillings = self._fillings(state, session, taste)
            most = max(worth // _MUST for worth, _ in fillings.values())
            sizes = (size for size, (worth, _) in fillings.items() if worth // _MUST == most)
            for size in sorted(sizes, reverse=True)[:FILLINGS]:
                yield self._after(state, session, fillings[size][1])

    def _fillings(self, state: _State, session: _Session, taste: float) -> _Fillings:
        """Ways to fill a session. At most one batch is shared with an adult beside.

        The adult who is filled first ends with that batch and this one begins with it, so the two
        parts must go into the window one after the other.
        """
        alone: _Fillings = {0: (0.0, ())}
        shared: list[list[_Choice]] = []
        for batch, steps in enumerate(state.steps):
            choices = self._choices(state, batch, session, taste) if steps else []
            beside = state.beside.get(batch)
            if beside is None:
                alone = _extended(alone, choices, session.room)
            elif not state.shares:
                shared.append([c for c in choices if c.minutes + beside <= session.room])
        found = dict(alone)
        for choices in shared:
            for size, way in _extended(alone, choices, session.room).items():
                if size not in found or found[size][0] < way[0]:
                    found[size] = way
        return found

    def _choices(self, state: _State, batch: int, session: _Session, taste: float) -> list[_Choice]:
        """From the last step that is left backwards, as much as goes into the window."""
        choices: list[_Choice] = []
        minutes, worth = 0, 0.0
        parts: Parts = ()
        left = state.minutes[batch]
        for task in reversed(self.work.chains[batch][: state.steps[batch]]):
            left = self.work.tasks[task].minutes if parts else left
            if not self._may_lie(state, task, left, session):
                break
            worth += 0 if self._has_another_chance(task, left, session) else _MUST
            choices += [
                _Choice(batch, minutes + piece, worth + piece, (*parts, (task, piece)))
                for piece in self._pieces(task, left, session.room - minutes)
            ]
            minutes += left
            if minutes > session.room:
                break
            worth += math.pow(left, taste)
            parts = (*parts, (task, left))
            choices.append(_Choice(batch, minutes, worth, parts))
        return choices

    def _pieces(self, task: int, left: int, room: int) -> range:
        """Sizes of a piece that leaves enough for another piece."""
        if task not in self.divided:
            return range(0)
        return range(SHORTEST_PIECE, min(left - SHORTEST_PIECE, room) + 1)

    def _may_lie(self, state: _State, task: int, left: int, session: _Session) -> bool:
        """Whether what is left of a task may end in this window (PREP4, PREP7)."""
        if session.window not in self.work.usable[task]:
            return False
        if left == self.work.tasks[task].minutes:
            return self.work.ends_fresh(task, session.window)
        place = self.work.place[session.window]
        return not any(p.task == task and self.work.place[p.window] == place for p in state.pieces)

    def _has_another_chance(self, task: int, left: int, session: _Session) -> bool:
        begun = left < self.work.tasks[task].minutes
        return any(
            w in session.later and (begun or self.work.ends_fresh(task, w))
            for w in self.work.usable[task]
        )

    def _after(self, state: _State, session: _Session, chosen: Iterable[_Choice]) -> _State:
        steps, minutes, pieces = list(state.steps), list(state.minutes), list(state.pieces)
        beside = dict(state.beside)
        shares, filled = state.shares, 0
        for choice in chosen:
            filled += choice.minutes
            shares = shares or choice.batch in beside
            beside[choice.batch] = beside.get(choice.batch, 0) + choice.minutes
            chain = self.work.chains[choice.batch]
            for task, part in choice.parts:
                pieces.append(Piece(task, session.window, part))
                minutes[choice.batch] -= part
                if not minutes[choice.batch]:
                    steps[choice.batch] -= 1
                    before = steps[choice.batch] - 1
                    left = self.work.tasks[chain[before]].minutes if before >= 0 else 0
                    minutes[choice.batch] = left
        wasted = state.wasted + session.room - filled
        return _State(tuple(steps), tuple(minutes), wasted, tuple(pieces), beside, shares)

    def _bulk(self, state: _State) -> int:
        """How long the steps are that are left; short ones are easier to place."""
        return sum(
            self.work.tasks[task].minutes ** 2
            for batch, chain in enumerate(self.work.chains)
            for task in chain[: state.steps[batch]]
        )


def _extended(best: _Fillings, choices: Iterable[_Choice], room: int) -> _Fillings:
    """The fillings with one more batch to choose from."""
    found = dict(best)
    for choice in choices:
        for filled, (worth, chosen) in best.items():
            size, value = filled + choice.minutes, worth + choice.worth
            if size <= room and (size not in found or found[size][0] < value):
                found[size] = (value, (*chosen, choice))
    return found
