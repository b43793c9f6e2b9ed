"""The command line. Each command is a module in ``server.commands``; this one finds and runs them.

Exit codes: 0 done, 1 something needs a person, 2 wrong use. With ``--json`` one JSON object on
standard output and nothing else there; messages go to standard error.
"""

from __future__ import annotations

import importlib
import json
import sys
from typing import Any

import click

from library import __version__
from library.store.errors import Invalid, LibraryError, NotFound, WrongUse
from library.store.problems import Problem
from server.commands.common import take_places

COMMANDS: dict[str, str] = {
    "serve": "Open the library in a browser.",
    "search": "Find activities by a question in plain English.",
    "index": "Bring the search index up to date.",
    "card": "Check cards, or print the schema of their front matter.",
    "unit": "Check, count, prepare or clone a unit.",
    "room": "Load, show or export a room.",
    "people": "List who may come in, or make a one-time link.",
    "print": "Write a plan, set-up sheets, lists, a letter or labels of a unit to a file.",
    "verify": "Read every file, the history and the index, and list whatever is wrong.",
    "new": "Start a library folder of your own with the starter cards and themes.",
}
"""Name → what it does; the command itself is ``server.commands.<name>.command``, loaded when used."""


class Commands(click.Group):
    """A group whose commands are imported only when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names, as listed by ``--help``."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name, or None."""
        if cmd_name not in COMMANDS:
            return None
        command = importlib.import_module(f"server.commands.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Lists the commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command("lowshelf", cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="lowshelf")
@take_places
@click.pass_context
def lowshelf(ctx: click.Context, /, **said: Any) -> None:
    """Keeps activity cards, finds them, dresses them in a theme, and does the arithmetic."""
    ctx.obj = {key: value for key, value in said.items() if value}


def main(arguments: list[str] | None = None) -> None:
    """Runs the command line and ends the process with its exit code."""
    try:
        code = lowshelf.main(args=arguments, standalone_mode=False)
    except click.exceptions.Abort:
        code = 130
    except click.ClickException as error:
        error.show()
        code = 2
    except LibraryError as error:
        print(error, file=sys.stderr)
        code = 2 if isinstance(error, WrongUse | NotFound) else 1
        if code == 1 and "--json" in (arguments if arguments is not None else sys.argv):
            print(json.dumps({"problems": _problems(error)}, ensure_ascii=False, indent=2))
    except BrokenPipeError:
        sys.stderr.close()
        code = 141
    sys.exit(code if isinstance(code, int) else 0)


def _problems(error: LibraryError) -> list[dict[str, str | int]]:
    """What is wrong as JSON has it (CMD1)."""
    if isinstance(error, Invalid):
        return [problem.as_json() for problem in error.problems]
    return [Problem("", 0, "", str(error), "").as_json()]
