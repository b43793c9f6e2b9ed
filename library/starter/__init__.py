"""The starter library that comes with the program: in the wheel beside this file, else in the clone."""

from __future__ import annotations

from pathlib import Path

from library.store.errors import NotFound

FOLDERS = ("activities", "themes")


def starter_folders() -> dict[str, Path]:
    """The starter's folders by name.

    Raises:
        NotFound: If this installation carries none.
    """
    here = Path(__file__).parent
    for base in (here, here.parent.parent):
        if all((base / name).is_dir() for name in FOLDERS):
            return {name: base / name for name in FOLDERS}
    raise NotFound("this installation carries no starter library; install it again with pip")
