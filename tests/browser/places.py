"""Copies of the starter library for tests that need real cards."""

from __future__ import annotations

import shutil
from pathlib import Path

from library.store.paths import LibraryPaths

ROOT = Path(__file__).parents[2]


def starter_library(folder: Path) -> LibraryPaths:
    """A copy of the starter library in a folder, with an empty data folder beside it."""
    library = folder / "library"
    for name in ("activities", "themes"):
        shutil.copytree(ROOT / name, library / name)
    return LibraryPaths(library, folder / "data")
