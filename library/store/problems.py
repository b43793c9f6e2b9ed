"""What is wrong with a file, said so that a person can mend it."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that a person should mend in one file."""

    file: str
    """Path within the library folder, with forward slashes; empty where there is no file yet."""
    line: int
    """1-based line; 0 where the whole file is meant."""
    field: str
    """Name of the field, such as ``prep`` or ``materials[2].amount``; empty for the whole file."""
    problem: str
    """What was found and what was expected, one sentence without a full stop."""
    fix: str
    """What to do about it, one sentence without a full stop."""

    def __str__(self) -> str:
        place = ":".join(part for part in (self.file, str(self.line or ""), self.field) if part)
        return f"{place}: {self.problem}; {self.fix}" if place else f"{self.problem}; {self.fix}"

    def as_json(self) -> dict[str, str | int]:
        """The problem with the keys of ``card check --json``."""
        return {
            "file": self.file,
            "line": self.line,
            "field": self.field,
            "problem": self.problem,
            "fix": self.fix,
        }

    def in_file(self, file: str) -> Problem:
        """The same problem, found in another file."""
        return replace(self, file=file)


class Unreadable(ValueError):  # noqa: N818 - it is a state of a text, not an error of the program
    """A text that could not be read as the value it should be.

    Attributes:
        found: The text, shortened to 60 characters.
        expected: What would have been read, with an example.
        fix: What to do.
    """

    def __init__(self, found: object, expected: str, fix: str = "") -> None:
        text = str(found)
        self.found = text if len(text) <= 60 else text[:57] + "…"
        self.expected = expected
        self.fix = fix or f"write {expected}"
        super().__init__(f"found '{self.found}'; expected {expected}")

    def at(self, field: str, line: int = 0, file: str = "") -> Problem:
        """This as a problem of one field of one file."""
        return Problem(file, line, field, str(self), self.fix)
