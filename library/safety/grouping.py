"""Findings of a unit grouped by rule and material, so that a real stop stands out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from library.units.findings import Finding, Level


@dataclass(frozen=True, slots=True)
class Group:
    """Findings that say the same of one material, in different places."""

    findings: tuple[Finding, ...]
    """At least one, in the order in which they were found."""

    @property
    def first(self) -> Finding:
        """The finding that speaks for all."""
        return self.findings[0]

    @property
    def level(self) -> Level:
        """The level they share."""
        return self.first.level

    @property
    def is_folded(self) -> bool:
        """Whether it is shown folded: notes are."""
        return self.level is Level.NOTE

    @property
    def places(self) -> tuple[tuple[str | None, str | None], ...]:
        """Center and activity of each finding, once each."""
        return tuple(dict.fromkeys((each.center, each.activity) for each in self.findings))


def group_findings(findings: Iterable[Finding]) -> tuple[Group, ...]:
    """Groups findings of one level, kind, hazard and material; stops first, then cautions, then notes.

    Findings without a material (an adult short on a day, a ratio) are grouped by their kind.
    """
    groups: dict[tuple[Level, str, str | None, str | None], list[Finding]] = {}
    for finding in findings:
        key = (finding.level, finding.kind, finding.hazard, finding.item)
        groups.setdefault(key, []).append(finding)
    levels = list(Level)
    found = [Group(tuple(members)) for members in groups.values()]
    return tuple(sorted(found, key=lambda group: levels.index(group.level)))
