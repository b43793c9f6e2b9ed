"""The best plan: against every schedule there is, against what theory allows, and its properties."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from library.prep import stages
from library.prep.bounds import deadlines_can_hold
from library.prep.highs import Program
from library.prep.model import ROOT, Effort
from library.prep.packing import Packed
from library.prep.tasks import Task
from library.prep.windows import Window, minute_of
from library.prep.work import lay_work_out
from tests.builders import MONDAY
from tests.library.prep import brute
from tests.library.prep.planned import DAY, tasks_for, windows_on


def figures(tasks, windows):
    """Late minutes, first date, sessions and lateness of the plan, and the plan."""
    best = stages.best_plan(lay_work_out(tasks, windows))
    done = sum(slot.piece.minutes for slot in best.slots)
    sessions = {(slot.piece.window, slot.adult) for slot in best.slots}
    start = min((windows[w].date.toordinal() for w, _ in sessions), default=None)
    lateness = sum(len(windows) - window for window, _ in sessions)
    late = sum(task.minutes for task in tasks) - done
    return (late, start, len(sessions), lateness), best


@st.composite
def window_lists(draw):
    """Two to four windows in the week before, some overlapping, some for two adults."""
    raw = draw(
        st.sets(
            st.tuples(
                st.sampled_from([-5, -4, -3, -3, 0]),
                st.sampled_from([7 * 60, 7 * 60 + 30, 13 * 60, 13 * 60 + 20]),
                st.sampled_from([15, 20, 25, 30]),
                st.sampled_from([1, 1, 1, 2]),
                st.booleans(),
            ),
            min_size=1,
            max_size=4,
        )
    )
    return [
        Window(number, MONDAY + dt.timedelta(days=day), dt.time(*divmod(start, 60)),
               dt.time(*divmod(start + length, 60)), adults, away)
        for number, (day, start, length, adults, away) in enumerate(sorted(raw))
    ]  # fmt: skip


@st.composite
def task_lists(draw, most=4):
    """Up to ``most`` tasks in batches with waits and keeps, at most one of them long."""
    tasks = []
    for batch in range(draw(st.integers(1, 3))):
        steps = draw(st.integers(1, 3))
        day = draw(st.sampled_from([0, 0, -2]))
        morning = minute_of(dt.datetime.combine(MONDAY + dt.timedelta(days=day), dt.time(8)))
        latest = morning - draw(st.sampled_from([0, 0, 30, 720, 1120, 1130, 18 * 60 + 40]))
        keeps = draw(
            st.sampled_from([None, None, DAY, 3 * DAY, 4 * DAY, 4 * DAY - 400, 2 * DAY + 1080])
        )
        fresh = morning - keeps if keeps else None
        for step in range(1, min(steps, most - len(tasks)) + 1):
            long = [] if any(task.may_split for task in tasks) else [25, 30]
            last = step == min(steps, most - len(tasks) + step - 1)
            tasks.append(
                Task(
                    number=len(tasks), activity=f"card-{batch}", do=f"step {step}",
                    minutes=draw(st.sampled_from([5, 5, 10, 10, 15, 20, *long])),
                    away=draw(st.integers(0, 6)) == 0, batch=1, step=step, morning=morning,
                    latest_end=latest, earliest_end=fresh if last else None,
                    after=len(tasks) - 1 if step > 1 else None,
                    spoils=fresh is not None and fresh > latest,
                )
            )  # fmt: skip
    assume(tasks)
    return tasks


def ways(tasks, windows):
    """How many combinations brute force would have to look at."""
    number = 1
    for task in tasks:
        number *= max(1, len(list(brute._choices(task, windows))))
    return number


def check_against_every_schedule(tasks, windows):
    assume(ways(tasks, windows) <= 3000)
    ours, best = figures(tasks, windows)
    assert ours == brute.best_figures(tasks, windows)
    assert best.proof.proven


@settings(max_examples=60, deadline=None)
@given(task_lists(), window_lists())
def test_the_plan_is_the_best_of_all_schedules(tasks, windows):
    """PREP13 and PREP14, by looking at every schedule of small problems."""
    check_against_every_schedule(tasks, windows)


@pytest.mark.slow
@settings(max_examples=500, deadline=None)
@given(task_lists(most=5), window_lists())
def test_the_plan_is_the_best_of_all_schedules_of_many_problems(tasks, windows):
    """PREP13 and PREP14, at length."""
    check_against_every_schedule(tasks, windows)


CHAINS = st.lists(
    st.lists(st.sampled_from([2, 3, 5, 8, 10, 12, 15, 20, 25, 40]), min_size=1, max_size=4),
    min_size=1,
    max_size=6,
)
NAPS = st.lists(st.sampled_from(range(-14, 0)), min_size=1, max_size=8, unique=True).map(
    lambda days: windows_on(*((day, 13 * 60, 40) for day in days))
)


def earliest_deadline_first_meets(tasks, windows):
    """Whether finely divided work for one morning fits: with one deadline that is a sum."""
    return sum(task.minutes for task in tasks) <= sum(window.minutes for window in windows)


@settings(max_examples=40, deadline=None)
@given(CHAINS, NAPS)
def test_no_plan_is_in_time_where_earliest_deadline_first_is_not(chains, windows):
    """Earliest deadline first meets all deadlines of divisible work if any schedule does
    (Jackson 1955; with release times Horn 1974): a necessary condition on every instance."""
    tasks = tasks_for(*chains)
    work = lay_work_out(tasks, windows)
    late = figures(tasks, windows)[0][0]
    if late == 0:
        assert deadlines_can_hold(work)
        assert earliest_deadline_first_meets(tasks, windows)
    if not earliest_deadline_first_meets(tasks, windows):
        assert late > 0


@settings(max_examples=30, deadline=None)
@given(CHAINS, NAPS, st.integers(1, 2), st.sampled_from([0, 720, 3 * DAY]))
def test_every_plan_keeps_the_rules(chains, windows, adults, wait):
    """No task outside its window, before it keeps or after its deadline; minutes are preserved."""
    windows = [replace(window, adults=adults) for window in windows]
    tasks = [replace(t, latest_end=t.latest_end - wait) for t in tasks_for(*chains)]
    _, best = figures(tasks, windows)
    done = {}
    for slot in best.slots:
        task, window = tasks[slot.piece.task], windows[slot.piece.window]
        assert window.start <= slot.start
        assert slot.end <= min(window.end, task.latest_end)
        assert slot.piece.minutes >= (10 if task.may_split else task.minutes)
        assert 1 <= slot.adult <= adults
        done.setdefault(task.number, []).append(slot)
    for number, slots in done.items():
        assert sum(slot.piece.minutes for slot in slots) <= tasks[number].minutes
        before = tasks[number].after
        if before is not None:
            assert sum(s.piece.minutes for s in done[before]) == tasks[before].minutes
            assert max(s.end for s in done[before]) <= min(slot.start for slot in slots)
    by_adult = {}
    for slot in sorted(best.slots, key=lambda slot: slot.start):
        last = by_adult.get((slot.piece.window, slot.adult), 0)
        assert last <= slot.start
        by_adult[slot.piece.window, slot.adult] = slot.end


@settings(max_examples=25, deadline=None)
@given(CHAINS, NAPS, st.sampled_from(range(-14, 0)))
def test_a_plan_never_gets_worse_when_a_window_is_added(chains, windows, day):
    """No more late minutes; with as few, no earlier start."""
    tasks = tasks_for(*chains)
    more = windows_on(*((*_span(w),) for w in windows), (day, 15 * 60, 30))
    (late, start, *_), _ = figures(tasks, windows)
    (late_then, start_then, *_), _ = figures(tasks, more)
    assert late_then <= late
    if late_then == late and start is not None:
        assert start_then >= start


def _span(window):
    return (window.date - MONDAY).days, window.opens.hour * 60 + window.opens.minute, window.minutes


@settings(max_examples=10, deadline=None)
@given(CHAINS, NAPS)
def test_the_same_question_gets_the_same_plan(chains, windows):
    tasks = tasks_for(*chains)
    assert figures(tasks, windows)[1] == figures(tasks, windows)[1]


def test_a_limit_is_never_passed_in_silence(monkeypatch):
    """At the limit the best found stands with its proven bound, and says that it is not proven."""
    chains = [
        [12, 3, 8, 15],
        [20, 5, 12],
        [8, 8, 15, 10],
        [25, 12, 3],
        [10, 15, 12, 5],
        [15, 20, 8],
    ]
    windows = windows_on(*((day, 13 * 60, 40) for day in range(-14, 0)))
    best = figures(tasks_for(*chains), windows)[1]
    assert best.proof.proven
    monkeypatch.setattr(
        stages, "pack", lambda work, sessions, whole=False: Packed((), tuple(work.active))
    )
    monkeypatch.setattr(stages.Model, "solve", _stopped(stages.Model.solve))
    stopped = figures(tasks_for(*chains), windows)[1]
    assert not stopped.proof.proven
    assert stopped.proof.sessions_at_least <= best.proof.sessions_at_least


def _stopped(solve):
    def one_node(self, *question):
        return replace(solve(self, *question), proven=False, bound=0.0)

    return one_node


FULL = [[25, 12], [20, 15], [10, 10], [15, 5]]
"""More than two naps hold."""


def test_what_is_not_proven_is_said_where_nothing_is_left_to_spend(monkeypatch):
    """PREP14: the minutes that are late stand beside the fewest there could be."""
    tasks = tasks_for(*FULL)
    windows = windows_on(*((day, 13 * 60, 40) for day in (-5, -3)))
    (fewest, *_), best = figures(tasks, windows)
    assert best.proof.proven
    assert best.proof.late_minutes_at_least == fewest
    monkeypatch.setattr(stages, "Effort", lambda: Effort(1))
    (late, *_), stopped = figures(tasks, windows)
    assert stopped.slots
    assert not stopped.proof.proven
    assert stopped.proof.late_minutes_at_least <= fewest <= late < sum(map(sum, FULL))


def test_what_is_left_of_the_nodes_goes_to_the_questions_that_follow():
    effort = Effort(100_000)
    share = effort.share()
    share.spend(100, 40)
    effort.give_back(share)
    assert effort.left == 100_000 - 100 * (40 + ROOT)
    assert effort.nodes(100) == effort.left // 100 - ROOT
    assert Effort(10).nodes(100) == 0


def test_the_solver_prints_nothing(capfd):
    program = Program()
    number = program.variable(0, 5)
    program.at_least([(number, 2)], 5)
    answer = program.minimise({number: 1}, nodes=10)
    assert (answer.status, answer.value) == ("best", 3)
    assert capfd.readouterr() == ("", "")


def test_a_bound_below_the_plan_is_no_proof():
    """Begun with a plan of 15 late minutes, the solver once called it the best; 10 can be had."""
    morning = minute_of(dt.datetime(2026, 10, 3, 8))
    latest = minute_of(dt.datetime(2026, 10, 2, 13, 20))
    tasks = [
        Task(number, "card", f"step {number}", minutes, away, 1, number + 1, morning, latest, None,
             number - 1 if number else None)
        for number, (minutes, away) in enumerate([(30, False), (5, True), (10, True)])
    ]  # fmt: skip
    windows = [
        Window(0, dt.date(2026, 9, 30), dt.time(7), dt.time(7, 15), 1, False),
        Window(1, dt.date(2026, 10, 2), dt.time(13), dt.time(13, 25), 2, True),
    ]
    assert figures(tasks, windows)[0] == brute.best_figures(tasks, windows)
