"""``lowshelf verify``."""

from __future__ import annotations

import click

from library.cards.checking import check_card
from library.cards.folder import CardFolder
from library.cards.lone import lone_pictures
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from server.commands.common import Places, with_places
from server.known import known_to_cards


@click.command("verify")
@with_places
def command(places: Places) -> int:
    """Reads every file, the history and the index, and lists whatever is wrong. Changes nothing."""
    from library.history.versions import History

    paths = places.paths
    problems = [*card_problems(paths), *plan_problems(paths)]
    broken = History(paths).problems()
    pictures = lone_pictures(paths)
    answer = {
        "problems": [problem.as_json() for problem in problems],
        "history": broken,
        "lone_pictures": pictures,
    }
    total = len(problems) + len(broken)
    lines = [*map(str, problems), *(f"history: {text}" for text in broken)]
    lines += [f"{file}: no card names this picture; look at it on Review" for file in pictures]
    places.answer(answer, [*lines, f"{total} problem{'' if total == 1 else 's'} found."])
    return 1 if total else 0


def card_problems(paths: LibraryPaths) -> list[Problem]:
    """What is wrong in the cards and the files beside them."""
    folder = CardFolder(paths)
    known, problems = known_to_cards(paths, folder)
    cards, unreadable = folder.read_all()
    checked = [problem for card in cards for problem in check_card(card, known)]
    return [*problems, *unreadable, *checked]


def plan_problems(paths: LibraryPaths) -> list[Problem]:
    """What is wrong in themes and units, cards among them that a unit names and nobody has."""
    from library.plan.unitplan import cards_named
    from library.units.folder import UnitFolder

    folder, cards = UnitFolder(paths), CardFolder(paths)
    units, problems = folder.read_all()
    found = [*problems, *(p for theme in folder.themes() for p in theme.problems)]
    for unit in units:
        found.extend(unit.problems)
        found.extend(
            Problem(
                f"themes/{unit.theme}/{unit.name}.md",
                0,
                "placements",
                f"the card '{name}' is missing",
                "choose another card there, or bring the file back",
            )
            for name in cards_named(unit)
            if not cards.exists(name)
        )
    return found
