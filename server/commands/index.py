"""``lowshelf index``."""

from __future__ import annotations

import sys

import click

from library.cards.folder import CardFolder
from server.commands.common import Places, with_places


@click.command("index")
@click.option("--rebuild", is_flag=True, help="Throw the index away and make it anew.")
@with_places
def command(places: Places, rebuild: bool) -> int:
    """Brings the search index up to date."""
    from library.search.index import SearchIndex

    index = SearchIndex(places.paths, CardFolder(places.paths))
    make = index.rebuild if rebuild else index.refresh
    with click.progressbar(length=1, label="Reading cards", file=sys.stderr) as bar:

        def note(done: int, total: int) -> None:
            bar.length = max(total, 1)
            bar.update(done - bar.pos)

        changes = make(note)
    problems = index.problems()
    places.answer(
        {"cards": index.view.cards, "read": changes.read, "problems": len(problems)},
        [f"{index.view.cards} cards; {changes.read} files read, {len(problems)} problems."],
    )
    return 0
