"""Tables in README.md and DEVELOPERS.md that are made from the program: ``python -m tests.docs``."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable
from pathlib import Path

from library.cards.card import catalogue
from server.cli import COMMANDS
from server.settings import Settings
from tests.bench.readme import bench_table

ROOT = Path(__file__).parents[1]


def fields_table() -> str:
    """The fields of a card."""
    rows = [
        f"| `{name}` | {field.help} | `{field.example}` | {'yes' if field.required else ''} |"
        for name, field in catalogue().items()
    ]
    return "\n".join(["| field | what it says | example | needed |", "|---|---|---|---|", *rows])


def commands_table() -> str:
    """The commands."""
    rows = [f"| `lowshelf {name}` | {what} |" for name, what in COMMANDS.items()]
    return "\n".join(["| command | what it does |", "|---|---|", *rows])


def settings_table() -> str:
    """The settings."""
    rows = [
        f"| `{each.name}` | {each.metadata['help']} | `{each.default}` |"
        for each in dataclasses.fields(Settings)
        if "help" in each.metadata
    ]
    return "\n".join(["| setting | what it is | default |", "|---|---|---|", *rows])


TABLES: dict[str, tuple[str, Callable[[], str]]] = {
    "fields": ("README.md", fields_table),
    "commands": ("README.md", commands_table),
    "settings": ("README.md", settings_table),
    "bench": ("README.md", bench_table),
}
"""Name of the markers → file and the function that makes what stands between them."""


def between(name: str) -> str:
    """What the file holds between a table's markers."""
    text = (ROOT / TABLES[name][0]).read_text(encoding="utf-8")
    found = re.search(rf"<!-- {name} -->\n(.*?)\n<!-- /{name} -->", text, re.DOTALL)
    return found[1] if found else ""


def write_all() -> None:
    """Puts every table into its file."""
    for name, (file, make) in TABLES.items():
        path = ROOT / file
        text = path.read_text(encoding="utf-8")
        block = f"<!-- {name} -->\n{make()}\n<!-- /{name} -->"
        pattern = rf"<!-- {name} -->\n.*?<!-- /{name} -->"
        path.write_text(
            re.sub(pattern, lambda _, b=block: b, text, flags=re.DOTALL), encoding="utf-8"
        )


if __name__ == "__main__":
    write_all()
