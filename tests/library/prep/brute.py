"""Every schedule of a small problem, one by one: slow, simple and sure.

Written from the readings alone, it shares no code with the planner but the values it is given.
Minutes must be multiples of five, so that pieces need only be tried in steps of five.
"""

from __future__ import annotations

from itertools import permutations, product

STEP = 5


def best_figures(tasks, windows):
    """Late minutes, date of the first session, sessions and their lateness, best in that order.

    The last is the sum over the sessions of how many windows come after each, smaller is later.
    """
    best = None
    choices = [list(_choices(task, windows)) for task in tasks]
    for chosen in product(*choices):
        figures = _figures(tasks, windows, chosen)
        if figures is not None and (best is None or figures < best):
            best = figures
    late, start, sessions, lateness = best
    return late, (-start if start else None), sessions, lateness


def _choices(task, windows):
    """Ways to do one task: a mapping of window to minutes; what is missing is late."""
    yield {}
    if task.spoils:
        return
    for parts in _parts(task.minutes, [w.number for w in windows], task.minutes > 20):
        if all(_allowed(task, windows[w], minutes) for w, minutes in parts.items()):
            yield parts


def _parts(minutes, numbers, may_split):
    if not may_split:
        yield from ({number: minutes} for number in numbers)
        return
    sizes = [0, *range(10, minutes + 1, STEP)]
    for pieces in product(sizes, repeat=len(numbers)):
        left = minutes - sum(pieces)
        if any(pieces) and (left == 0 or left >= 10):
            yield {n: piece for n, piece in zip(numbers, pieces, strict=True) if piece}


def _allowed(task, window, minutes):
    if task.away and not window.away:
        return False
    morning = task.morning
    same_day_or_later = window.start // 1440 >= morning // 1440
    if same_day_or_later and window.end > morning:
        return False
    return window.start + minutes <= min(window.end, task.latest_end)


def _figures(tasks, windows, chosen):
    late = 0
    finished = []
    for task, parts in zip(tasks, chosen, strict=True):
        done = sum(parts.values())
        late += task.minutes - done
        finished.append(done == task.minutes)
        if parts and task.after is not None and not finished[task.after]:
            return None
    for task, parts in zip(tasks, chosen, strict=True):
        if task.after is not None and parts:
            before = chosen[task.after]
            if any(windows[a].start >= windows[b].end for a in before for b in parts):
                return None
    crews = _crews(tasks, windows, chosen, finished)
    if crews is None:
        return None
    sessions = sum(crews.values())
    lateness = sum(count * (len(windows) - w) for w, count in crews.items())
    start = min((windows[w].date.toordinal() for w in crews), default=0)
    return late, -start, sessions, lateness


def _crews(tasks, windows, chosen, finished):
    """By window, the fewest adults for what lies there; None if it cannot be arranged."""
    crews = {}
    for cluster in _clusters(windows):
        pieces = [
            (task, w, parts[w])
            for task, parts in zip(tasks, chosen, strict=True)
            for w in cluster
            if w in parts
        ]
        if pieces:
            found = _fewest(tasks, windows, chosen, finished, pieces)
            if found is None:
                return None
            crews.update(found)
    return crews


def _clusters(windows):
    clusters, until = [], -1
    for window in windows:
        if window.start < until:
            clusters[-1].append(window.number)
        else:
            clusters.append([window.number])
        until = max(until, window.end)
    return clusters


def _fewest(tasks, windows, chosen, finished, pieces):
    best = None
    for order in permutations(pieces):
        for adults in product(*(range(windows[w].adults) for _, w, _ in order)):
            used = {}
            for (_, w, _), adult in zip(order, adults, strict=True):
                used.setdefault(w, set()).add(adult)
            crew = {w: len(who) for w, who in used.items()}
            key = (sum(crew.values()), -sum(w * n for w, n in crew.items()))
            if (best is None or key < best[0]) and _runs(
                tasks, windows, chosen, finished, order, adults
            ):
                best = (key, crew)
    return best and best[1]


def _runs(tasks, windows, chosen, finished, order, adults):
    """Whether these pieces can begin in this order, each as early as it may."""
    free, ended = {}, {}
    left = [task.number for task, _, _ in order]
    for (task, w, minutes), adult in zip(order, adults, strict=True):
        window = windows[w]
        left.remove(task.number)
        before, step = [], task
        while step is not None:
            before.append(step.number)
            step = tasks[step.after] if step.after is not None else None
        if any(number in left for number in before[1:]):
            return False
        begin = max([free.get((w, adult), window.start), *(ended.get(n, 0) for n in before)])
        goes_on_later = any(windows[v].start >= window.end for v in chosen[task.number])
        if (
            task.earliest_end is not None
            and finished[task.number]
            and task.number not in left
            and not goes_on_later
        ):
            begin = max(begin, task.earliest_end - minutes)
        end = begin + minutes
        if end > min(window.end, task.latest_end):
            return False
        free[w, adult] = end
        ended[task.number] = max(end, ended.get(task.number, 0))
    return True
