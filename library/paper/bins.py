"""Where things are: the bins of the room's stock, by the main name of a material."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable

from library.materials.material import MaterialBook
from library.paper.job import Job
from library.paper.setup_sheets import put_out
from library.plan.stops import stops_on
from library.room.room import Room
from library.units.placed import Placed


def bins_of(item: str, room: Room, materials: MaterialBook) -> tuple[str, ...]:
    """The bins that hold a material under any of its names, in the order of the stock list."""
    main = materials.main_name(item)
    lines = (line for line in room.stock if line.bin and materials.main_name(line.item) == main)
    return tuple(dict.fromkeys(line.bin for line in lines))


def bin_words(item: str, job: Job) -> str:
    """``bin B4``; empty where no bin is noted."""
    bins = bins_of(item, job.room, job.plan.materials)
    return f"bin {', '.join(bins)}" if bins else ""


def bins_to_pull(
    job: Job, placed: Iterable[Placed], days: Collection[dt.date] | None = None
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each bin that some placements need, with what to take from it; bins in order.

    A placement on which a stop stands takes nothing.

    Args:
        job: What is printed.
        placed: The placements.
        days: The days they are set up for; None: all of theirs.
    """
    found: dict[str, list[str]] = {}
    for each in placed:
        if stops_on(job.plan, each, days):
            continue
        for portion in put_out(each, job.room):
            item = job.plan.materials.main_name(portion.line.item)
            for name in bins_of(item, job.room, job.plan.materials):
                found.setdefault(name, []).append(item)
    return tuple((name, tuple(dict.fromkeys(found[name]))) for name in sorted(found))


def theme_bin(job: Job) -> str:
    """The bin that holds the theme's own things; empty where none is noted."""
    return job.plan.theme.bin if job.plan.theme else ""
