"""The frameworks of a library: the shipped one, and those in ``activities/frameworks``."""

from __future__ import annotations

from library.frameworks.framework import Framework, head_start, read_framework
from library.store.paths import LibraryPaths
from library.store.problems import Problem


def read_frameworks(paths: LibraryPaths) -> tuple[tuple[Framework, ...], tuple[Problem, ...]]:
    """The Head Start framework first, then each YAML or CSV file that the library brings."""
    found, problems = [head_start()], []
    folder = paths.activities / "frameworks"
    for path in sorted(folder.iterdir()) if folder.is_dir() else []:
        if path.suffix.lower() not in {".yaml", ".yml", ".csv"} or path.name.startswith("."):
            continue
        file = f"activities/frameworks/{path.name}"
        try:
            text = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError):
            problems.append(
                Problem(file, 0, "", "the file cannot be read as UTF-8", "save it again as UTF-8")
            )
            continue
        name = path.stem.replace("-", " ").capitalize()
        framework, wrong = read_framework(text, file, name)
        found.append(framework)
        problems.extend(wrong)
    return tuple(found), tuple(problems)
