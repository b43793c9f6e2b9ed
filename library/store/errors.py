"""The errors a caller may meet. Each says where, what was found and what to do."""

from __future__ import annotations

from collections.abc import Iterable

from library.store.problems import Problem


class LibraryError(Exception):
    """Base of everything the library refuses. Its text is meant for the person at the page."""


class NotFound(LibraryError):  # noqa: N818
    """A card, theme, unit or room that does not exist (any more)."""


class Invalid(LibraryError):  # noqa: N818
    """A text that cannot be kept as it is; carries every problem found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class StaleFile(LibraryError):  # noqa: N818
    """The file changed since it was read; nothing was written."""


class NameTaken(LibraryError):  # noqa: N818
    """A file of this name is there already; nothing was written."""


class UnsafePath(LibraryError):  # noqa: N818
    """A name that would leave its folder or collide with another on some disks."""


class IndexBusy(LibraryError):  # noqa: N818
    """Another process is writing the index."""


class WrongUse(LibraryError):  # noqa: N818
    """The question itself is off: a missing folder, a start that is not a Monday. Exit code 2."""
