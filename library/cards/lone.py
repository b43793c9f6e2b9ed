"""Pictures that no card names any more, as when a card was removed: found, and taken out when asked.

They stay beside the place of their card, for the history keeps no pictures: a card that is brought
back finds its own again.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

from library.cards.photos import NAME
from library.store.errors import NotFound
from library.store.paths import LibraryPaths

NAMED = re.compile(rb"[a-z0-9][a-z0-9-]*\.(?:jpg|jpeg|png)", re.IGNORECASE)
"""A picture's name wherever it stands in a file: one that is torn names its pictures too."""


def lone_pictures(paths: LibraryPaths) -> tuple[str, ...]:
    """The pictures among the cards that no file beside them names.

    Returns:
        Paths within the library folder with forward slashes, in order. Hidden files, links and
        names that no card could give are none of ours.
    """
    found: list[str] = []
    for folder, names, files in os.walk(paths.activities):
        names[:] = [name for name in names if not name.startswith(".")]
        pictures = [name for name in files if NAME.match(name)]
        if not pictures:
            continue
        here = Path(folder)
        named = _names_in(here, files)
        lone = [name for name in pictures if name.lower() not in named]
        found += [
            (here / name).relative_to(paths.folder).as_posix()
            for name in lone
            if not (here / name).is_symlink()
        ]
    return tuple(sorted(found))


def lone_picture(paths: LibraryPaths, file: str) -> Path:
    """Where a picture lies that no card names.

    Raises:
        NotFound: If there is none, or a card names it by now.
    """
    if file not in lone_pictures(paths):
        raise NotFound("there is no such picture without a card; perhaps a card names it by now")
    return paths.folder.joinpath(*file.split("/"))


def _names_in(folder: Path, files: list[str]) -> set[str]:
    """The names of pictures in the text files of a folder, in small letters."""
    texts = (folder / name for name in files if name.endswith((".md", ".yaml")))
    return {found.decode().lower() for text in texts for found in NAMED.findall(text.read_bytes())}
