"""``lowshelf new DIR``."""

from __future__ import annotations

import shutil
from pathlib import Path

import click

from library.starter import starter_folders
from library.store.errors import NameTaken
from server.commands.common import Places, with_places


@click.command("new")
@click.argument("folder", metavar="DIR")
@with_places
def command(places: Places, folder: str) -> int:
    """Starts a library folder with the starter cards and themes."""
    target = Path(folder).expanduser()
    if target.exists() and any(target.iterdir()):
        raise NameTaken(f"{target} holds something already; choose a new folder")
    target.mkdir(parents=True, exist_ok=True)
    for name, source in starter_folders().items():
        shutil.copytree(source, target / name)
    cards = sum(1 for _ in (target / "activities").rglob("*.md"))
    places.answer(
        {"library": str(target.resolve()), "cards": cards},
        [
            f"{target} now holds {cards} activity cards and the themes to go with them.",
            f"Next: lowshelf serve --library {target}",
        ],
    )
    return 0
