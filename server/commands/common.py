"""What commands share: the options that may stand before or after them, and how they answer."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from library.store.paths import LibraryPaths, library_paths

if TYPE_CHECKING:
    from library.room.room import Room

Command = Callable[..., int | None]
Group = Callable[[], None]


def take_places(function: Command) -> Command:
    """Lets a command or a group take ``--library``, ``--data``, ``--room`` and ``--json`` (CMD3)."""
    for option in (
        click.option("--json", "as_json", is_flag=True, help="Print one JSON object."),
        click.option("--room", metavar="NAME", help="Room; else the current one."),
        click.option("--data", metavar="DIR", help="Private data folder; else the platform's."),
        click.option("--library", metavar="DIR", help="Library folder; else the working folder."),
    ):
        function = option(function)
    return function


def group_of(name: str) -> Callable[[Group], click.Group]:
    """A group of commands; what is said before the name of one of them counts for it.

    Args:
        name: What the group is called.
    """

    def decorate(about: Group) -> click.Group:
        @click.group(name)
        @take_places
        @click.pass_context
        @wraps(about)
        def group(ctx: click.Context, /, **said: Any) -> None:
            ctx.obj = {**(ctx.obj or {}), **{key: value for key, value in said.items() if value}}

        return group

    return decorate


def with_places(function: Command) -> Command:
    """Gives a command ``--library``, ``--data``, ``--room`` and ``--json`` (CMD3).

    The command receives ``places`` (:class:`Places`) and whatever else it declares.
    """

    @take_places
    @click.pass_context
    @wraps(function)
    def run(ctx: click.Context, /, **said: Any) -> int | None:
        own = {key: said.pop(key) for key in ("library", "data", "room", "as_json")}
        chosen = {**(ctx.obj or {}), **{key: value for key, value in own.items() if value}}
        return function(places=Places(chosen), **said)

    return run


class Places:
    """What the shared options said."""

    def __init__(self, said: dict[str, Any]) -> None:
        self._said = said
        self.as_json: bool = bool(said.get("as_json"))
        self.room: str | None = said.get("room")

    @property
    def paths(self) -> LibraryPaths:
        """The library's places.

        Raises:
            WrongUse: If there is no library.
        """
        library, data = self._said.get("library"), self._said.get("data")
        return library_paths(
            Path(library) if library else None, Path(data) if data else None, working=Path.cwd()
        )

    def chosen_room(self) -> Room:
        """The room that was named, else the current one (CMD2).

        Raises:
            WrongUse: If there is none; says what to run.
        """
        from library.room.rooms import Rooms

        return Rooms(self.paths.database).choose(self.room)

    def answer(self, result: dict[str, Any], lines: list[str]) -> None:
        """Prints the JSON object, or the lines for a person."""
        if self.as_json:
            print_json(result)
        else:
            click.echo("\n".join(lines))


def print_json(result: dict[str, Any]) -> None:
    """Prints one JSON object on standard output."""
    click.echo(json.dumps(result, ensure_ascii=False, indent=2))


def say(message: str) -> None:
    """Prints a message on standard error."""
    click.echo(message, err=True)
