"""``lowshelf room load|show|export``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.commands.common import Places, group_of, say, with_places

if TYPE_CHECKING:
    from library.room.room import Room


@group_of("room")
def command() -> None:
    """Load, show or export a room; what it says of children stays in the data folder."""


@command.command("load")
@click.argument("file", metavar="FILE.yaml")
@with_places
def load(places: Places, file: str) -> int:
    """Keeps the room of a file and works with it from now on."""
    from library.room.room import counts_of
    from library.room.rooms import load_room_file

    read = load_room_file(Path(file), places.paths)
    for remark in read.remarks:
        say(str(remark))
    places.answer(counts_of(read.room), [f"{read.room.name} is loaded.", *_lines(read.room)])
    return 0


@command.command("show")
@with_places
def show(places: Places) -> int:
    """Shows what is known of the room in a few lines, naming no child."""
    from library.room.room import counts_of

    room = places.chosen_room()
    places.answer(counts_of(room), [room.name, *_lines(room)])
    return 0


@command.command("export")
@with_places
def export(places: Places) -> int:
    """Prints the room as a room file; it names children, so keep it out of shared folders."""
    from library.room.roomfile import write_room

    say("This names children: keep it out of the library folder and of anything shared.")
    text = write_room(places.chosen_room())
    places.answer({"room": text}, [text.rstrip("\n")])
    return 0


def _lines(room: Room) -> list[str]:
    return [
        f"  {len(room.children)} children, {room.adults} adults, open {', '.join(room.open)}",
        f"  {len(room.centers)} centers, {len(room.prep_windows)} prep windows, "
        f"{len(room.closed)} closed days, {len(room.stock)} lines of stock",
    ]
