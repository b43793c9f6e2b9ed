"""``lowshelf verify``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from library.cards.card import Card
from library.cards.checking import check_card
from library.cards.folder import CardFolder
from library.cards.lone import lone_pictures
from library.store.errors import IndexBusy
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from server.commands.common import Places, with_places
from server.known import known_to_cards

if TYPE_CHECKING:
    from library.search.soundness import Soundness


@click.command("verify")
@with_places
def command(places: Places) -> int:
    """Reads every file, the history and the index, and lists whatever is wrong. Changes nothing."""
    from library.history.versions import History

    paths = places.paths
    folder = CardFolder(paths)
    cards, unreadable = folder.read_all()
    problems = [*card_problems(paths, folder, cards), *unreadable, *plan_problems(paths)]
    broken = History(paths).problems()
    index = index_soundness(paths, folder, cards)
    pictures = lone_pictures(paths)
    answer = {
        "problems": [problem.as_json() for problem in problems],
        "history": broken,
        "index": list(index.faults),
        "index_behind": list(index.behind),
        "lone_pictures": pictures,
    }
    total = len(problems) + len(broken) + len(index.faults)
    lines = [*map(str, problems), *(f"history: {text}" for text in broken)]
    lines += [f"index: {text}" for text in index.faults]
    if index.behind:
        files = f"{len(index.behind)} file{' is' if len(index.behind) == 1 else 's are'}"
        lines.append(
            f"index: {files} new, changed or gone since it was written; "
            "it follows at the next start, or with 'lowshelf index'"
        )
    lines += [f"{file}: no card names this picture; look at it on Review" for file in pictures]
    places.answer(answer, [*lines, f"{total} problem{'' if total == 1 else 's'} found."])
    return 1 if total else 0


def index_soundness(paths: LibraryPaths, folder: CardFolder, cards: list[Card]) -> Soundness:
    """What is wrong with the index; while another process writes it, that it could not be looked at."""
    from library.search.soundness import Soundness, look_at_index

    try:
        return look_at_index(paths, folder.files(), cards)
    except IndexBusy as error:
        return Soundness((str(error),))


def card_problems(paths: LibraryPaths, folder: CardFolder, cards: list[Card]) -> list[Problem]:
    """What is wrong in the files beside the cards, and in the cards that can be read."""
    known, problems = known_to_cards(paths, folder)
    return [*problems, *(problem for card in cards for problem in check_card(card, known))]


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
