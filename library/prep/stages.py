"""Finds the best plan, one stage after the other.

The stages (PREP13, PREP14): all deadlines, or the fewest late minutes; then the latest date to
start; then the fewest sessions; then the latest sessions. Within the sessions that are chosen each
step lies as late as there is room for it (``delaying``).

Cheap arguments come first. The latest date that earliest-deadline-first leaves open and the
sessions of the coarse model are bounds that no plan beats; where the quick packer meets both, the
plan is proven best without a search. Elsewhere the full model has only to prove that nothing is
better than what the packer found, which is much faster than to find it.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from library.prep.arranging import Slot, arrange
from library.prep.bounds import deadlines_can_hold
from library.prep.delaying import put_off
from library.prep.model import CoarseModel, Effort, Found, Model, crew, ending, session_cost
from library.prep.packing import pack
from library.prep.work import Piece, Work, tightened

OTHER_WINDOWS = 2
"""How often the packer is given as many sessions in other windows,"""
MORE_SESSIONS = 12
"""and then one session more where it had no room."""


@dataclass(frozen=True, slots=True)
class Proof:
    """How good a plan is known to be. Where all is proven, each bound equals the plan's own figure."""

    late_minutes_at_least: int
    starts_at_latest: dt.date | None
    """No plan with as few late minutes starts later."""
    sessions_at_least: int
    proven: bool
    """Whether no stage stopped at its limit."""


@dataclass(frozen=True, slots=True)
class Best:
    """The best plan found."""

    slots: tuple[Slot, ...]
    proof: Proof


def best_plan(work: Work) -> Best | None:
    """The best plan of all work, with what is given up from the start late.

    None where the pins leave no plan at all, however late.
    """
    hopeless = sum(work.tasks[task].minutes for task in work.given_up)
    if not work.active:
        return Best((), Proof(hopeless, None, 0, proven=True))
    effort = Effort()
    best = _in_time(work, share := effort.share())
    if best is None:
        effort.give_back(share)
        best = _with_late(work, effort)
    if best is None:
        return None
    late = best.proof.late_minutes_at_least + hopeless
    slots = put_off(work, _less_divided(work, best.slots))
    return Best(slots, replace(best.proof, late_minutes_at_least=late))


def _less_divided(work: Work, slots: tuple[Slot, ...]) -> tuple[Slot, ...]:
    """The same sessions with long steps in one go wherever the packer finds room for that."""
    done = {slot.piece.task for slot in slots}
    pieces = len(slots)
    if pieces == len(done) or any(pin.minutes is not None for pin in work.pins):
        return slots
    there = replace(work, given_up=frozenset(range(len(work.tasks))) - done)
    asked = sum(work.tasks[task].minutes for task in done)
    if asked != sum(slot.piece.minutes for slot in slots):
        return slots
    sessions: dict[int, int] = {}
    for window, _ in _sessions(slots):
        sessions[window] = sessions.get(window, 0) + 1
    packed = pack(there, sessions, whole=True)
    found = None if packed.left else _arranged(there, packed.pieces, sessions)
    return found if found is not None and len(found) < pieces else slots


# All in time


@dataclass(frozen=True, slots=True)
class _Start:
    """A date from which prep may start, and the work with the windows from there on."""

    date: dt.date
    work: Work


def _in_time(work: Work, effort: Effort) -> Best | None:
    """The best plan that is all in time; None where there is none or none was found.

    Dates are tried from the latest. On each, the packer looks first; where it finds nothing the
    full model finds a plan or proves that there is none. Once the full model has stopped at its
    limit it is asked again only on the earliest date, where a plan is most easily found.
    """
    unsure: dt.date | None = None
    starts = _possible_starts(work)
    for start in reversed(starts):
        quick = _quick(start.work)
        if quick is not None and quick.proof.proven:
            return _with_doubt(quick, unsure)
        if quick is not None:
            return _with_doubt(_improved(start.work, quick, effort), unsure)
        if unsure is not None and start is not starts[0]:
            continue
        model = Model(start.work, may_be_late=False)
        found = model.solve(model.session_costs(), effort)
        if found.slots is not None:
            return _with_doubt(_as_best(start.work, found, late=0), unsure)
        if not found.proven:
            unsure = unsure or start.date
    return None


def _with_doubt(best: Best, unsure: dt.date | None) -> Best:
    """The plan, with the latest date of which it is not known whether prep could start then."""
    if unsure is None:
        return best
    return Best(best.slots, replace(best.proof, starts_at_latest=unsure, proven=False))


def _possible_starts(work: Work) -> list[_Start]:
    """The dates on which a plan that is all in time might start, earliest first.

    Whether work can be in time only gets harder with a later start, so the last one is found by
    halving.
    """
    firsts: dict[dt.date, int] = {}
    for window in work.windows:
        firsts.setdefault(window.date, window.number)
    starts = list(firsts.items())

    first_pin = min((pin.window for pin in work.pins), default=len(work.windows))

    def at(index: int) -> Work | None:
        first = starts[index][1]
        part = tightened(work.since(first)) if first <= first_pin else None
        return part if part is not None and deadlines_can_hold(part) else None

    count = _last_true(len(starts), lambda index: at(index) is not None) + 1
    found = ((starts[index][0], at(index)) for index in range(count))
    return [_Start(date, part) for date, part in found if part is not None]


def _last_true(count: int, holds: Callable[[int], bool]) -> int:
    """The last index for which ``holds`` is true; -1 if none. It never turns true again."""
    low, high = -1, count - 1
    while low < high:
        middle = (low + high + 1) // 2
        if holds(middle):
            low = middle
        else:
            high = middle - 1
    return low


def _quick(work: Work) -> Best | None:
    """A plan by the packer, which is given the sessions of the coarse model, best first.

    On the first choice of sessions the plan is proven best for the windows there are.
    """
    if any(pin.minutes is not None for pin in work.pins):
        return None
    coarse = CoarseModel(work)
    sessions = coarse.best()
    fewest = sum(sessions.values()) if sessions else 0
    for choice in range(1 + OTHER_WINDOWS + MORE_SESSIONS):
        if sessions is None:
            return None
        packed = pack(work, sessions)
        slots = None if packed.left else _arranged(work, packed.pieces, sessions)
        if slots is not None:
            return Best(slots, Proof(0, _first_date(work, slots), fewest, proven=choice == 0))
        if choice < OTHER_WINDOWS or not packed.left:
            coarse.leave_out(sessions)
        else:
            coarse.ask_for_more(sessions, max(work.usable[task][-1] for task in packed.left))
        sessions = coarse.best()
    return None


def _arranged(
    work: Work, pieces: Sequence[Piece], sessions: dict[int, int]
) -> tuple[Slot, ...] | None:
    slots: list[Slot] = []
    for place in sorted({work.place[piece.window] for piece in pieces}):
        there = [piece for piece in pieces if work.place[piece.window] == place]
        adults = {p.window: crew(work, p.window, sessions[p.window]) for p in there}
        found = arrange(work, there, adults, ending(work, pieces, there))
        if found.slots is None:
            return None
        slots += found.slots
    return tuple(slots)


def _improved(work: Work, quick: Best, effort: Effort) -> Best:
    """What the full model finds that is better than a quick plan, or the proof that nothing is."""
    model = Model(work, may_be_late=False)
    model.limit(model.session_costs(), _cost(work, quick.slots) - 1)
    found = model.solve(model.session_costs(), effort)
    if found.slots is not None:
        return _as_best(work, found, late=0)
    if found.proven:
        sessions = len(_sessions(quick.slots))
        return Best(quick.slots, replace(quick.proof, sessions_at_least=sessions, proven=True))
    return quick


def _as_best(work: Work, found: Found, late: int) -> Best:
    """A solution of the full model with its proof; its figures are exact where it is proven."""
    slots = found.slots or ()
    sessions = len(_sessions(slots)) if found.proven else _sessions_at_least(work, found, late)
    return Best(slots, Proof(late, _first_date(work, slots), sessions, found.proven))


def _sessions_at_least(work: Work, found: Found, late: int) -> int:
    """How many sessions there are at least.

    Those that a bound on their costs stands for, a session costing most in the first window, and
    those that the minutes done would fill to the brim.
    """
    done = sum(work.tasks[task].minutes for task in work.active) - late
    longest = max(window.minutes for window in work.windows)
    return max(_at_least(found.bound / session_cost(work, 0)), math.ceil(done / longest))


def _at_least(bound: float) -> int:
    """The whole number that a solver's bound stands for; 0 where it has none yet."""
    return max(0, math.ceil(bound - 0.01)) if math.isfinite(bound) else 0


def _sessions(slots: Sequence[Slot]) -> set[tuple[int, int]]:
    """Window and adult of every session."""
    return {(slot.piece.window, slot.adult) for slot in slots}


def _cost(work: Work, slots: Sequence[Slot]) -> int:
    return sum(session_cost(work, window) for window, _ in _sessions(slots))


def _first_date(work: Work, slots: Sequence[Slot]) -> dt.date | None:
    return min((work.windows[slot.piece.window].date for slot in slots), default=None)


# Some of it late


def _with_late(work: Work, effort: Effort) -> Best | None:
    """The plan with the fewest late minutes, and of those the best by the later stages.

    None where the pins leave none.
    """
    model = Model(work, may_be_late=True)
    fewest = model.solve(model.late_minutes(), share := effort.share(), _packed_with_late(work))
    effort.give_back(share)
    if fewest.slots is None or fewest.value is None:
        return None if work.pins else Best((), Proof(0, None, 0, proven=False))
    late = fewest.value
    at_least = late if fewest.proven else _at_least(fewest.bound)
    slots, unsure = _latest_start_with_late(work, fewest.slots, late, effort)
    best = _fewest_sessions_with_late(work, slots, late, effort)
    proof = replace(
        best.proof,
        late_minutes_at_least=at_least,
        proven=best.proof.proven and fewest.proven,
    )
    return _with_doubt(Best(best.slots, proof), unsure)


def _packed_with_late(work: Work) -> tuple[Slot, ...]:
    """What the packer gets done in time when all windows are used; empty where pins bind it.

    The last step of a batch for which there was no room is left out, one after the other, until
    the rest goes in; then it is tried whether one of them finds room after all.
    """
    if work.pins:
        return ()
    out = work.given_up
    while (slots := (tried := _packed(work, out))[0]) is None:
        out |= {_left_out(replace(work, given_up=out), tried[1])}
    for task in sorted(out - work.given_up):
        before = work.tasks[task].after
        fuller = None if before in out else _packed(work, out - {task})[0]
        if fuller is not None:
            slots, out = fuller, out - {task}
    return slots


def _packed(work: Work, out: frozenset[int]) -> tuple[tuple[Slot, ...] | None, tuple[int, ...]]:
    """The tasks that are not left out, packed into all windows; or None and what found no room."""
    sessions = {window.number: window.adults for window in work.windows}
    part = replace(work, given_up=out)
    if not part.active:
        return (), ()
    packed = pack(part, sessions)
    return (None if packed.left else _arranged(part, packed.pieces, sessions)), packed.left


def _left_out(work: Work, left: tuple[int, ...]) -> int:
    """The step to leave out: one whose minutes come closest to what found no room, and reach it."""
    short = sum(work.tasks[task].minutes for task in left)
    tails = [chain[-1] for chain in work.chains if not left or set(chain) & {*left}]
    minutes = {task: work.tasks[task].minutes for task in tails}
    return min(tails, key=lambda t: (minutes[t] < short, abs(minutes[t] - short), t))


def _latest_start_with_late(
    work: Work, slots: tuple[Slot, ...], late: int, effort: Effort
) -> tuple[tuple[Slot, ...], dt.date | None]:
    """A plan that starts as late as any with no more late minutes.

    Each plan found is improved as if what it leaves late were given up; then the full model is
    asked for a later start, until there is none.

    Returns:
        The plan, and the date of which it is not known whether prep could start then.
    """
    pinned = min((work.windows[pin.window].date for pin in work.pins), default=dt.date.max)
    dates = sorted({window.date for window in work.windows if window.date <= pinned})
    while True:
        slots = _without_late(work, slots, effort)
        start = _first_date(work, slots)
        later = [date for date in dates if start is not None and date > start]
        if not later:
            return slots, None
        shorter = Model(work.since(_first_window(work, later[0])), may_be_late=True)
        shorter.limit(shorter.late_minutes(), late)
        found = shorter.solve({}, effort)
        if found.slots is None:
            return slots, None if found.proven else later[-1]
        slots = found.slots


def _without_late(work: Work, slots: tuple[Slot, ...], effort: Effort) -> tuple[Slot, ...]:
    """The best plan that leaves the same tasks late; the same plan where a task is done in part."""
    done: dict[int, int] = {}
    for slot in slots:
        done[slot.piece.task] = done.get(slot.piece.task, 0) + slot.piece.minutes
    if any(minutes < work.tasks[task].minutes for task, minutes in done.items()):
        return slots
    late = frozenset(work.active) - done.keys()
    part = replace(work, given_up=work.given_up | late)
    best = _in_time(part, share := effort.share()) if done else None
    effort.give_back(share)
    if best is None or (_first_date(work, best.slots) or dt.date.min) < min(
        work.windows[slot.piece.window].date for slot in slots
    ):
        return slots
    return best.slots


def _first_window(work: Work, date: dt.date) -> int:
    return next(window.number for window in work.windows if window.date >= date)


def _fewest_sessions_with_late(
    work: Work, slots: tuple[Slot, ...], late: int, effort: Effort
) -> Best:
    """The plan with the fewest and latest sessions among those with these late minutes and start."""
    start = _first_date(work, slots)
    if start is None:
        return Best(slots, Proof(late, None, 0, proven=True))
    model = Model(work.since(_first_window(work, start)), may_be_late=True)
    model.limit(model.late_minutes(), late)
    model.limit(model.session_costs(), _cost(work, slots) - 1)
    found = model.solve(model.session_costs(), effort)
    if found.slots is not None:
        return _as_best(work, found, late)
    sessions = len(_sessions(slots)) if found.proven else _sessions_at_least(work, found, late)
    return Best(slots, Proof(late, start, sessions, found.proven))
