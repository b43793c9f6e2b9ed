"""``lowshelf card check`` and ``lowshelf card schema``."""

from __future__ import annotations

from pathlib import Path

import click

from library.cards.checking import check_card
from library.cards.folder import CardFile, CardFolder, read_card_file
from library.cards.schema import card_schema
from library.safety.checks import CARD_CHECKS, card_findings, caution, nothing_found
from library.store.errors import WrongUse
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from library.units.findings import Finding, Level
from server.commands.common import Places, group_of, print_json, with_places
from server.known import known_to_cards


@group_of("card")
def command() -> None:
    """Check cards, or print the schema of their front matter."""


@command.command("check")
@click.argument("files", nargs=-1, metavar="[FILE …]")
@with_places
def check(places: Places, files: tuple[str, ...]) -> int:
    """Lists every problem in every card (or in the cards named), and what needs a second look.

    Cautions and notes are told one by one for cards that are named; for a whole library they are
    counted.
    """
    folder = CardFolder(places.paths)
    known, problems = known_to_cards(places.paths, folder)
    chosen = [_card_file(name, places.paths) for name in files] or folder.files()
    count = 0
    findings: list[tuple[str, Finding]] = []
    for file in chosen:
        parsed = read_card_file(file)[1]
        count += parsed.card is not None
        problems += check_card(parsed.card, known) if parsed.card else parsed.problems
        if parsed.card:
            told = card_findings(parsed.card, known.materials)
            findings += [(file.file, finding) for finding in told]
    if not files:
        problems += folder.name_problems()
    answer = {
        "cards": count,
        "problems": [problem.as_json() for problem in problems],
        "findings": [{"file": file, **finding.as_json()} for file, finding in findings],
    }
    lines = [*map(str, problems), _total(count, problems), *_cautions(findings, told=bool(files))]
    places.answer(answer, lines)
    has_stop = any(finding.level is Level.STOP for _, finding in findings)
    return 1 if problems or has_stop else 0


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
    shown = resolved.relative_to(paths.folder).as_posix() if inside else path.as_posix()
    return CardFile(str(path), shown, path.stem, status.st_size, status.st_mtime_ns)


def _cautions(findings: list[tuple[str, Finding]], *, told: bool) -> list[str]:
    """What needs a second look, each with its file, way to mend it and source."""
    if not findings:
        return [nothing_found(CARD_CHECKS)]
    shown = [row for row in findings if told or row[1].level is Level.STOP]
    lines = [
        f"{file}: {finding.level.value}: {finding.text}; {finding.fix} ({finding.source})"
        for file, finding in shown
    ]
    rest = len(findings) - len(shown)
    if rest:
        what = "caution or note" if rest == 1 else "cautions and notes"
        lines.append(f"{rest} {what}; name a card to read them.")
    return [*lines, caution()]


def _total(count: int, problems: list[Problem]) -> str:
    cards = f"{count} card{'' if count == 1 else 's'} read"
    found = f"{len(problems)} problem{'' if len(problems) == 1 else 's'}"
    return f"{cards}, {found}."
