"""``lowshelf card check`` and ``lowshelf card schema``."""

from __future__ import annotations

from pathlib import Path

import click

from library.cards.checking import check_card
from library.cards.folder import CardFile, CardFolder, read_card_file
from library.cards.schema import card_schema
from library.store.errors import WrongUse
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from server.commands.common import Places, print_json, with_places
from server.known import known_to_cards


@click.group("card")
def command() -> None:
    """Check cards, or print the schema of their front matter."""


@command.command("check")
@click.argument("files", nargs=-1, metavar="[FILE …]")
@with_places
def check(places: Places, files: tuple[str, ...]) -> int:
    """Lists every problem in every card (or in the cards named)."""
    folder = CardFolder(places.paths)
    known, problems = known_to_cards(places.paths, folder)
    chosen = [_card_file(name, places.paths) for name in files] or folder.files()
    count = 0
    for file in chosen:
        parsed = read_card_file(file)[1]
        count += parsed.card is not None
        problems += check_card(parsed.card, known) if parsed.card else parsed.problems
    if not files:
        problems += folder.name_problems()
    answer = {"cards": count, "problems": [problem.as_json() for problem in problems]}
    places.answer(answer, [*map(str, problems), _total(count, problems)])
    return 1 if problems else 0


@command.command("schema")
@with_places
def schema(places: Places) -> int:
    """Prints the JSON Schema of a card's front matter."""
    print_json(card_schema())
    return 0


def _card_file(name: str, paths: LibraryPaths) -> CardFile:
    path = Path(name)
    if not path.is_file():
        raise WrongUse(f"there is no file {name}")
    status = path.stat()
    resolved = path.resolve()
    inside = resolved.is_relative_to(paths.folder)
    shown = resolved.relative_to(paths.folder).as_posix() if inside else name
    return CardFile(path, shown, status.st_size, status.st_mtime_ns)


def _total(count: int, problems: list[Problem]) -> str:
    cards = f"{count} card{'' if count == 1 else 's'} read"
    found = f"{len(problems)} problem{'' if len(problems) == 1 else 's'}"
    return f"{cards}, {found}."
