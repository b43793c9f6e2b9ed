"""What no plan can do better, found without a solver."""

from __future__ import annotations

from library.prep.work import Work


def deadlines_can_hold(work: Work) -> bool:
    """Whether the work could be in time if every task could be cut as finely as one likes.

    Earliest deadline first does all of such work in time if any order does (Jackson 1955; with
    times before which work cannot begin, Horn 1974). Real steps are not cut finely and wait for one
    another, so False proves that no plan is in time, and True proves nothing.
    """
    spans = {
        t: (work.usable[t][0], work.usable[t][-1]) if work.usable[t] else None for t in work.active
    }
    if any(span is None for span in spans.values()):
        return False
    left = {task: work.tasks[task].minutes for task in spans}
    due = sorted(left, key=lambda task: (spans[task] or (0, 0))[1])
    for window in work.windows:
        time = window.minutes * window.adults
        for task in due:
            first, last = spans[task] or (0, 0)
            if left[task] and first <= window.number:
                done = min(time, left[task])
                left[task] -= done
                time -= done
                if left[task] and last <= window.number:
                    return False
    return not any(left.values())
