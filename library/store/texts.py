"""The text files of a folder that a library may bring, such as frameworks of its own."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from library.store.problems import Problem


def read_texts(
    library: Path, folder: str, endings: Collection[str]
) -> tuple[tuple[tuple[str, str], ...], tuple[Problem, ...]]:
    """The texts of a folder's files, by name; a folder that is not there holds none.

    Args:
        library: The library folder.
        folder: Path within it, such as ``activities/frameworks``.
        endings: Endings that count, in small letters with their dot.

    Returns:
        Path within the library folder and text of each file, and what cannot be read as UTF-8.
    """
    found, problems = [], []
    there = library.joinpath(*folder.split("/"))
    for path in sorted(there.iterdir()) if there.is_dir() else []:
        if path.suffix.lower() not in endings or path.name.startswith("."):
            continue
        file = f"{folder}/{path.name}"
        try:
            found.append((file, path.read_text(encoding="utf-8")))
        except (OSError, UnicodeDecodeError):
            said = "the file cannot be read as UTF-8"
            problems.append(Problem(file, 0, "", said, "save it again as UTF-8"))
    return tuple(found), tuple(problems)
