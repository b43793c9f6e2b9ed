"""``lowshelf search TEXT``."""

from __future__ import annotations

import contextlib
import datetime as dt
import os

import click

from library.store.errors import IndexBusy
from server.commands.common import Places, with_places


@click.command("search")
@click.argument("text", nargs=-1, required=True)
@click.option("--limit", type=click.IntRange(0, 10_000), default=20, help="Results to list; 20.")
@with_places
def command(places: Places, text: tuple[str, ...], limit: int) -> int:
    """Finds activities by a question in plain English."""
    from server.asking import answer, read_asked, search_json, stock_of
    from server.settings import load_settings
    from server.shelf import Shelf

    shelf = Shelf(load_settings(places.paths, os.environ))
    with contextlib.suppress(IndexBusy):
        shelf.refresh()
    room = shelf.rooms.choose(places.room) if places.room else shelf.room()
    asked = read_asked({"q": " ".join(text)}, shelf.vocabulary(), room, dt.date.today())
    result = answer(asked, shelf.index.view, limit=limit, stock=stock_of(room, shelf.rooms))
    lines = [f"{asked.question.sentence()}: {result.total}"]
    if result.did_you_mean:
        lines.append(f"Nothing has exactly that; these are for: {result.did_you_mean}")
    lines += [
        f"  {hit.card.title}  ({hit.card.prep} min, {hit.card.ages} months)  {hit.card.id}"
        for hit in result.hits
    ]
    places.answer(search_json(asked, result), lines)
    return 0
