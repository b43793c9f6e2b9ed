"""The frameworks of a library: the shipped one, and those in ``activities/frameworks``."""

from __future__ import annotations

from pathlib import PurePosixPath

from library.frameworks.framework import Framework, head_start, read_framework
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from library.store.texts import read_texts

FOLDER = "activities/frameworks"


def read_frameworks(paths: LibraryPaths) -> tuple[tuple[Framework, ...], tuple[Problem, ...]]:
    """The Head Start framework first, then each YAML or CSV file that the library brings."""
    texts, unread = read_texts(paths.folder, FOLDER, (".yaml", ".yml", ".csv"))
    found, problems = [head_start()], list(unread)
    for file, text in texts:
        name = PurePosixPath(file).stem.replace("-", " ").capitalize()
        framework, wrong = read_framework(text, file, name)
        found.append(framework)
        problems.extend(wrong)
    return tuple(found), tuple(problems)
