"""The scheduling model, in whole numbers, and nothing else.

Two models of the same work. The *coarse* one knows only how many adults prepare in which window and
treats work as if it could be cut freely; what it finds, no plan can beat. The *full* one says who
does which minutes of what in which window, and is exact together with ``arranging``, which gives
minutes their place inside a window and sends back what does not go together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby, pairwise

from library.prep.arranging import Slot, arrange
from library.prep.highs import Answer, Program
from library.prep.tasks import SHORTEST_PIECE
from library.prep.work import Piece, Work

COARSE_NODES = 200
"""Nodes of the search tree for a coarse model, which has a variable a window."""
NODES_TIMES_VARIABLES = 240_000
"""Nodes of all search trees of one plan, each counted with the variables of its model: a node of a
large model takes longer to look at. A few seconds' work on a small computer."""
ROOT = 60
"""What the beginning of a search counts for, in nodes."""


@dataclass(slots=True)
class Effort:
    """What may still be spent on one plan.

    Counted in nodes, never in seconds, so that every machine comes to the same plan.
    """

    left: int = NODES_TIMES_VARIABLES

    def nodes(self, variables: int) -> int:
        """How many nodes a search over so many variables may look at; 0 where nothing is left."""
        return max(0, self.left // variables - ROOT)

    def spend(self, variables: int, nodes: int) -> None:
        """Notes a search that is done."""
        self.left -= variables * (nodes + ROOT)

    def share(self) -> Effort:
        """Half of what is left, so that no question takes all from those that follow."""
        self.left -= (half := self.left // 2)
        return Effort(half)

    def give_back(self, other: Effort) -> None:
        """Takes back what was not spent of a share."""
        self.left += max(0, other.left)


@dataclass(frozen=True, slots=True)
class Found:
    """What a stage found."""

    slots: tuple[Slot, ...] | None
    """Every piece with its adult and minute; None where there is no plan or none was found."""
    value: int | None
    """Of the stage's objective."""
    bound: float
    """No plan has less."""
    proven: bool
    """Whether ``value`` is the least there is, or, without slots, that there is no plan."""


NOTHING = Found(None, None, 0, proven=False)
"""Nothing was found, and nothing is known."""


def _sum(costs: Mapping[int, int], values: Sequence[int]) -> int:
    return sum(cost * values[variable] for variable, cost in costs.items())


# The coarse model


class CoarseModel:
    """How many adults prepare in which window, with work that could be cut freely.

    Work that must lie between two windows needs at least as many sessions there as its minutes ask
    for, each holding no more than the fullest load that its steps can add up to. The first answer
    is therefore a lower bound on every plan.
    """

    def __init__(self, work: Work) -> None:
        self.work = work
        self.program = Program()
        self.can_hold = True
        """Whether the windows can hold the work at all."""
        asked = _adults_asked_by_pins(work)
        used = sorted({window for task in work.active for window in work.usable[task]})
        self.sessions = {
            w: self.program.variable(asked.get(w, 0), work.windows[w].adults) for w in used
        }
        loads = fullest_loads(work)
        for windows, minutes in stretches(work):
            fewest = _fewest(work, loads, windows, minutes)
            self.can_hold = self.can_hold and fewest is not None
            here = [w for w in windows if w in self.sessions]
            self.program.at_least([(self.sessions[w], loads[w]) for w in here], minutes)
            self.program.at_least([(self.sessions[w], 1) for w in here], fewest or 0)

    def best(self) -> dict[int, int] | None:
        """The fewest sessions, and of those the latest; None if there are none (any more).

        Returns:
            By window that is used, how many adults work.
        """
        if not self.can_hold:
            return None
        answer = self.program.minimise(session_costs(self.work, self.sessions), COARSE_NODES)
        if answer.status != "best" or answer.values is None:
            return None
        return {w: answer.values[n] for w, n in self.sessions.items() if answer.values[n]}

    def leave_out(self, sessions: Mapping[int, int]) -> None:
        """From now on at least one window that is not full in these sessions gets another adult."""
        spare = {w for w in self.sessions if sessions.get(w, 0) < self.work.windows[w].adults}
        used = sum(sessions.get(w, 0) for w in spare)
        self.program.at_least([(self.sessions[w], 1) for w in spare], used + 1)

    def ask_for_more(self, sessions: Mapping[int, int], until: int) -> None:
        """From now on one session more than these in the windows up to number ``until``."""
        here = [w for w in self.sessions if w <= until]
        more = sum(sessions.get(w, 0) for w in here) + 1
        self.program.at_least([(self.sessions[w], 1) for w in here], more)


def session_costs(work: Work, sessions: Mapping[int, int]) -> dict[int, int]:
    """Stages three and four as one figure: each session by far the most, then how early it lies.

    Args:
        work: Its windows say how much later ones there are.
        sessions: By window, the variable that counts its sessions.
    """
    return {variable: session_cost(work, window) for window, variable in sessions.items()}


def session_cost(work: Work, window: int) -> int:
    """What one session in a window costs: a fewer session outweighs any lateness of all others."""
    windows = len(work.windows)
    adults = max(each.adults for each in work.windows)
    return windows * windows * adults + windows - window


def _fewest(
    work: Work, loads: Mapping[int, int], windows: Iterable[int], minutes: int
) -> int | None:
    """How many sessions in these windows could hold the minutes; None if all do not."""
    most = sorted((loads[w] for w in windows for _ in range(work.windows[w].adults)), reverse=True)
    return next((n for n, held in enumerate(accumulate(most, initial=0)) if held >= minutes), None)


def stretches(work: Work) -> Iterator[tuple[range, int]]:
    """Stretches of windows, each with the minutes of the active work that can lie nowhere else."""
    spans = [(work.usable[t][0], work.usable[t][-1], work.tasks[t].minutes) for t in work.active]
    for first in sorted({span[0] for span in spans}):
        for last in sorted({span[1] for span in spans}):
            minutes = sum(m for begin, end, m in spans if first <= begin and end <= last)
            if minutes:
                yield range(first, last + 1), minutes


def fullest_loads(work: Work) -> dict[int, int]:
    """By window, the most minutes one adult can fill with steps that may lie in it.

    Steps of 15 minutes fill 30 of 40. A sum of subsets, kept as the bits of one number.
    """
    loads = {}
    for window in work.windows:
        sums = 1
        for task in (work.tasks[t] for t in work.active if window.number in work.usable[t]):
            sizes = [task.minutes]
            if task.may_split:
                sizes += range(SHORTEST_PIECE, task.minutes - SHORTEST_PIECE + 1)
            sums |= _any_of(sums << size for size in sizes if size <= window.minutes)
            sums &= (1 << (window.minutes + 1)) - 1
        loads[window.number] = sums.bit_length() - 1
    return loads


def _any_of(bits: Iterator[int]) -> int:
    found = 0
    for each in bits:
        found |= each
    return found


def _adults_asked_by_pins(work: Work) -> dict[int, int]:
    named: dict[int, set[int | None]] = {}
    for pin in work.pins:
        named.setdefault(pin.window, set()).add(pin.adult)
    return {window: max(1, len(adults - {None})) for window, adults in named.items()}


# The full model


class Model:
    """All work in all windows it may use.

    Variables, each a whole number:
        here[task, window]: 1 if some of the task is done in the window.
        minutes[task, window]: of a task that may be done in pieces.
        late[task]: 1 if the task is not done in time.
        undone[task]: late minutes of a task that may be done in pieces.
        sessions[window]: how many adults prepare in the window.
        lane[task, window, adult]: 1 if this adult does it; only for windows with several, and only
            once what was put there could not be shared out among them.
    """

    def __init__(self, work: Work, may_be_late: bool) -> None:
        self.work = work
        self.may_be_late = may_be_late
        self.program = Program()
        self.here: dict[tuple[int, int], int] = {}
        self.minutes: dict[tuple[int, int], int] = {}
        self.late: dict[int, int] = {}
        self.undone: dict[int, int] = {}
        self.sessions: dict[int, int] = {}
        self.shared_out: set[int] = set()
        """Windows for which it says which adult does what."""
        self._variables()
        for task in work.active:
            self._done_or_late(task)
            self._fresh(task)
        for chain in work.chains:
            for before, after in pairwise(chain):
                self._in_order(before, after)
        for window in self.sessions:
            self._within_time(window)
        for _, together in groupby(self.sessions, key=work.place.__getitem__):
            self._batches_in_a_row(list(together))
        self._pins()
        if not may_be_late:
            self._enough_sessions()

    # Objectives, one a stage

    def late_minutes(self) -> dict[int, int]:
        """Stage one: minutes that are not done in time (PREP14)."""
        return {
            self.undone.get(task, late): 1 if task in self.undone else self.work.tasks[task].minutes
            for task, late in self.late.items()
        }

    def session_costs(self) -> dict[int, int]:
        """Stages three and four: the fewest sessions, then the latest (PREP13)."""
        return session_costs(self.work, self.sessions)

    def limit(self, costs: Mapping[int, int], value: int) -> None:
        """Holds what an earlier stage has reached."""
        self.program.at_most(costs.items(), value)

    def solve(self, costs: Mapping[int, int], effort: Effort, known: Sequence[Slot] = ()) -> Found:
        """The plan with the lowest costs, arranged to the minute.

        Where pieces do not go together inside a window, a row that says so is added and the model
        is solved again; each such row is true of every plan, so bounds stay bounds.

        Args:
            costs: By variable.
            effort: What may be spent; where it is used up the search stops.
            known: A plan that keeps the rules, to begin with; it stands where none better is found.
        """
        begin = self._values_of(known) if known else None
        stands = Found(tuple(known), _sum(costs, begin), 0, proven=False) if begin else NOTHING
        certain = True
        while nodes := effort.nodes(len(self.program.lower)):
            variables = len(self.program.lower)
            answer = self.program.minimise(costs, nodes, begin)
            effort.spend(variables, answer.nodes)
            stands = replace(stands, bound=max(stands.bound, answer.bound))
            if answer.values is None:
                return replace(stands, proven=answer.status == "none" and certain)
            slots, sure = self._arranged(answer)
            certain = certain and sure
            if slots is not None:
                proven = answer.status == "best" and certain
                return Found(slots, answer.value, answer.bound, proven)
        return stands

    def _values_of(self, slots: Sequence[Slot]) -> list[int]:
        """A plan as the model holds it."""
        values = list(self.program.lower)
        done = dict.fromkeys(self.work.active, 0)
        for slot in slots:
            piece = slot.piece
            values[self.here[piece.task, piece.window]] = 1
            if piece.task in self.undone:
                values[self.minutes[piece.task, piece.window]] = piece.minutes
            done[piece.task] += piece.minutes
        for task, minutes in done.items():
            left = self.work.tasks[task].minutes - minutes
            values[self.late[task]] = int(left > 0)
            if task in self.undone:
                values[self.undone[task]] = left
        for window, _ in {(slot.piece.window, slot.adult) for slot in slots}:
            values[self.sessions[window]] += 1
        return values

    # Rules

    def _variables(self) -> None:
        program, work = self.program, self.work
        for task in work.active:
            each = work.tasks[task]
            self.late[task] = program.variable(0, 1 if self.may_be_late else 0)
            if each.may_split:
                most = each.minutes if self.may_be_late else 0
                self.undone[task] = program.variable(0, most)
            for window in work.usable[task]:
                self.here[task, window] = program.variable(0, 1)
                if each.may_split:
                    most = work.longest_piece(task, window)
                    self.minutes[task, window] = program.variable(0, most)
        used = sorted({window for _, window in self.here})
        self.sessions = {w: program.variable(0, work.windows[w].adults) for w in used}

    def _done_or_late(self, task: int) -> None:
        """A whole task lies in one window or is late; a long one in pieces of ten minutes or more."""
        program, work = self.program, self.work
        if task not in self.undone:
            program.exactly([*self._lying(task), (self.late[task], 1)], 1)
            return
        undone, late = self.undone[task], self.late[task]
        whole = work.tasks[task].minutes
        pieces = [(self.minutes[task, w], 1) for w in work.usable[task]]
        program.exactly([*pieces, (undone, 1)], whole)
        program.at_least([(undone, 1), (late, -SHORTEST_PIECE)], 0)
        program.at_most([(undone, 1), (late, -whole)], 0)
        for window in work.usable[task]:
            here, minutes = self.here[task, window], self.minutes[task, window]
            program.at_least([(minutes, 1), (here, -SHORTEST_PIECE)], 0)
            program.at_most([(minutes, 1), (here, -work.longest_piece(task, window))], 0)

    def _fresh(self, task: int) -> None:
        """The last piece of a last step ends late enough to keep, or the step is late (PREP4)."""
        if task in self.undone and self.work.tasks[task].earliest_end is not None:
            fresh = [w for w in self.work.usable[task] if self.work.ends_fresh(task, w)]
            terms = [(self.here[task, w], 1) for w in fresh]
            self.program.at_least([*terms, (self.late[task], 1)], 1)

    def _in_order(self, before: int, after: int) -> None:
        """A step does not begin before the one above it has ended (PREP5)."""
        program, place = self.program, self.work.place
        program.at_most([(self.late[before], 1), (self.late[after], -1)], 0)
        if before in self.undone:
            self._after_pieces(before, after)
            return
        for window in self.work.usable[after]:
            begun = self._lying(before, until=place[window])
            lying = [(self.here[after, window], 1)]
            if after not in self.undone:
                lying = self._lying(after, until=place[window])
            program.at_most([*lying, *((variable, -1) for variable, _ in begun)], 0)

    def _after_pieces(self, before: int, after: int) -> None:
        """Nothing of a step lies before a piece of the one above it, or beside undone minutes."""
        program, work = self.program, self.work
        for window in work.usable[before]:
            earlier = self._lying(after, until=work.place[window] - 1)
            if after not in self.undone:
                program.at_most([*earlier, (self.here[before, window], 1)], 1)
                continue
            for variable, _ in earlier:
                program.at_most([(variable, 1), (self.here[before, window], 1)], 1)
        for window in work.usable[after]:
            program.at_most([(self.here[after, window], 1), (self.late[before], 1)], 1)

    def _within_time(self, window: int) -> None:
        """Each adult has the window's minutes; what must end inside it has those up to there."""
        program, where = self.program, self.work.windows[window]
        inside = [task for task in self.work.active if (task, window) in self.here]
        ends = {min(where.end, self.work.tasks[task].latest_end) for task in inside}
        for end in ends | {where.end}:
            due = [
                task for task in inside if min(where.end, self.work.tasks[task].latest_end) <= end
            ]
            terms = [self._minutes_of(task, window) for task in due]
            program.at_most([*terms, (self.sessions[window], where.start - end)], 0)

    def _batches_in_a_row(self, windows: Sequence[int]) -> None:
        """Steps of one batch come one after the other, however many adults there are (PREP5).

        Args:
            windows: Those that share one place in time.
        """
        if len(windows) == 1 and self.work.windows[windows[0]].adults == 1:
            return
        span = self.work.span(self.work.place[windows[0]])
        for chain in self.work.chains:
            pairs = [(t, w) for t in chain for w in windows if (t, w) in self.here]
            if len(pairs) > 1:
                self.program.at_most([self._minutes_of(t, w) for t, w in pairs], span)

    def _one_adult_each(self, window: int) -> None:
        """One step one adult (PREP12)."""
        self.shared_out.add(window)
        program, where = self.program, self.work.windows[window]
        inside = [task for task in self.work.active if (task, window) in self.here]
        busy = [program.variable(0, 1) for _ in range(where.adults)]
        loads: list[list[tuple[int, int]]] = [[] for _ in busy]
        for task in inside:
            lanes = [program.variable(0, 1) for _ in busy]
            program.exactly([(self.here[task, window], -1), *((lane, 1) for lane in lanes)], 0)
            for load, lane in zip(loads, lanes, strict=True):
                load.append(self._minutes_in_lane(task, window, lane))
            if task in self.undone:
                minutes = [load[-1] for load in loads]
                program.exactly([(self.minutes[task, window], -1), *minutes], 0)
        for load, on in zip(loads, busy, strict=True):
            program.at_most([*load, (on, -where.minutes)], 0)
        program.exactly([(self.sessions[window], -1), *((on, 1) for on in busy)], 0)
        for first, second in pairwise(busy):
            program.at_least([(first, 1), (second, -1)], 0)

    def _minutes_in_lane(self, task: int, window: int, lane: int) -> tuple[int, int]:
        if task not in self.undone:
            return (lane, self.work.tasks[task].minutes)
        most = self.work.longest_piece(task, window)
        minutes = self.program.variable(0, most)
        self.program.at_most([(minutes, 1), (lane, -most)], 0)
        return (minutes, 1)

    def _pins(self) -> None:
        """What a person has put somewhere stays there."""
        for pin in self.work.pins:
            if (pin.task, pin.window) in self.here:
                self.program.at_least([(self.here[pin.task, pin.window], 1)], 1)
                if pin.minutes is not None and (pin.task, pin.window) in self.minutes:
                    minutes = self.minutes[pin.task, pin.window]
                    self.program.exactly([(minutes, 1)], pin.minutes)
        for window, adults in _adults_asked_by_pins(self.work).items():
            if window in self.sessions:
                self.program.at_least([(self.sessions[window], 1)], adults)

    def _enough_sessions(self) -> None:
        """Work that can lie nowhere else needs its sessions; implied, but said outright it saves time."""
        loads = fullest_loads(self.work)
        for windows, minutes in stretches(self.work):
            here = [w for w in windows if w in self.sessions]
            fewest = _fewest(self.work, loads, here, minutes)
            possible = sum(self.work.windows[w].adults for w in here)
            limit = possible + 1 if fewest is None else fewest
            self.program.at_least([(self.sessions[w], 1) for w in here], limit)

    def _lying(self, task: int, until: int | None = None) -> list[tuple[int, int]]:
        """Terms that add up to 1 if the task lies in a window up to a place in time."""
        return [
            (self.here[task, window], 1)
            for window in self.work.usable[task]
            if until is None or self.work.place[window] <= until
        ]

    def _minutes_of(self, task: int, window: int) -> tuple[int, int]:
        if task in self.undone:
            return (self.minutes[task, window], 1)
        return (self.here[task, window], self.work.tasks[task].minutes)

    # Inside the windows

    def _arranged(self, answer: Answer) -> tuple[tuple[Slot, ...] | None, bool]:
        """The minute of every piece; or None, after a row was added for each stretch that failed."""
        pieces = self._pieces(answer)
        places: dict[int, list[Piece]] = {}
        for piece in pieces:
            places.setdefault(self.work.place[piece.window], []).append(piece)
        slots: list[Slot] = []
        failed, sure = False, True
        for there in places.values():
            crew = {p.window: self._crew(p.window, answer) for p in there}
            ends = ending(self.work, pieces, there)
            found = arrange(self.work, there, crew, ends)
            sure = sure and found.certain
            if found.slots is None:
                failed = True
                self._mend(there, crew, ends)
            else:
                slots += found.slots
        return (None if failed else tuple(slots)), sure

    def _pieces(self, answer: Answer) -> list[Piece]:
        assert answer.values is not None  # callers have looked
        values = answer.values
        pieces = []
        for (task, window), here in self.here.items():
            if values[here]:
                minutes = self.minutes.get((task, window))
                whole = self.work.tasks[task].minutes
                pieces.append(Piece(task, window, whole if minutes is None else values[minutes]))
        return pieces

    def _crew(self, window: int, answer: Answer) -> tuple[int, ...]:
        """Which adults work: those who are pinned, then the first ones."""
        assert answer.values is not None  # callers have looked
        return crew(self.work, window, answer.values[self.sessions[window]])

    def _mend(
        self, there: Sequence[Piece], crew: Mapping[int, tuple[int, ...]], ends: set[int]
    ) -> None:
        """Says more about a stretch that failed: who does what, or else that this does not go."""
        vague = {w for w in crew if self.work.windows[w].adults > 1} - self.shared_out
        for window in sorted(vague):
            self._one_adult_each(window)
        if not vague:
            self._refuse(there, crew, ends)

    def _refuse(
        self, there: Sequence[Piece], crew: Mapping[int, tuple[int, ...]], ends: set[int]
    ) -> None:
        """Adds the row: these pieces do not all lie here, unless something about them changes.

        First the set is thinned out to pieces of which none can be spared, so that the row says
        as much as it can. What may change: a piece is made shorter, a last step goes on later or
        is late, another adult helps.
        """
        clash = list(there)
        for piece in there:
            fewer = [other for other in clash if other is not piece]
            if arrange(self.work, fewer, crew, ends).slots is None:
                clash = fewer
        terms: list[tuple[int, int]] = []
        for piece in clash:
            terms.append((self.here[piece.task, piece.window], 1))
            terms += self._if_shorter(piece)
            if piece.task in ends:
                terms += self._if_not_ending(piece)
        for window in {piece.window for piece in clash}:
            if len(crew[window]) < self.work.windows[window].adults:
                more = self.program.variable(0, 1)
                needed = len(crew[window]) + 1
                self.program.at_least([(self.sessions[window], 1), (more, -needed)], 0)
                terms.append((more, -1))
        self.program.at_most(terms, len(clash) - 1)

    def _if_shorter(self, piece: Piece) -> list[tuple[int, int]]:
        """A new variable, which is 1 only if this piece of a long task is made shorter."""
        if piece.task not in self.undone or piece.minutes <= SHORTEST_PIECE:
            return []
        shorter = self.program.variable(0, 1)
        minutes = self.minutes[piece.task, piece.window]
        most = self.program.upper[minutes]
        self.program.at_most([(minutes, 1), (shorter, most - piece.minutes + 1)], most)
        return [(shorter, -1)]

    def _if_not_ending(self, piece: Piece) -> list[tuple[int, int]]:
        """Variables, one of which is 1 if a long last step has a later piece or is late."""
        if piece.task not in self.undone or self.work.tasks[piece.task].earliest_end is None:
            return []
        here = self.work.place[piece.window]
        later = (w for w in self.work.usable[piece.task] if self.work.place[w] > here)
        return [(self.late[piece.task], -1), *((self.here[piece.task, w], -1) for w in later)]


def ending(work: Work, pieces: Sequence[Piece], there: Sequence[Piece]) -> set[int]:
    """The tasks of which the last piece lies in a stretch, and which are done in full."""
    done: dict[int, int] = {}
    last: dict[int, int] = {}
    for piece in pieces:
        done[piece.task] = done.get(piece.task, 0) + piece.minutes
        last[piece.task] = max(last.get(piece.task, 0), work.place[piece.window])
    return {
        piece.task
        for piece in there
        if done[piece.task] == work.tasks[piece.task].minutes
        and last[piece.task] == work.place[piece.window]
    }


def crew(work: Work, window: int, number: int) -> tuple[int, ...]:
    """Which adults work in a window when ``number`` of them do: those who are pinned, then the first."""
    named = {pin.adult for pin in work.pins if pin.window == window and pin.adult}
    others = (a for a in range(1, work.windows[window].adults + 1) if a not in named)
    return tuple(sorted([*sorted(named), *others][: max(number, len(named))]))
