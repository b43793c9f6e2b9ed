"""What a room has decided about a caution: the finding folds beside it and never vanishes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.room.room import Policy
from library.room.times import show_day
from library.safety.hazards import hazards
from library.units.findings import Finding, Level

NEVER_FOLDED = frozenset({"small-part", "ball", "allergen", "missing", "prep"})
"""Kinds that no policy folds: a room cannot decide that a piece is larger than it is."""

FOLDABLE = frozenset(
    "age adults ratio durable order closed water food cord repeat coverage".split()
)
"""Kinds a policy may be about as a whole. What is on the list of hazards is decided one by one."""


def policy_in_words(policy: Policy) -> str:
    """What a room decided, by whom and when."""
    return f"{policy.note} ({policy.by}, {show_day(policy.on)})"


def may_decide_about() -> tuple[str, ...]:
    """Everything a policy may be about: kinds of findings, then keys of hazards."""
    return (*sorted(FOLDABLE), *sorted(key for key in hazards() if key not in FOLDABLE))


def decided_by(finding: Finding) -> str | None:
    """What a policy that folds a finding is about; None where no policy can.

    Stops are never folded, nor are small parts, balls and allergens at any level, nor round
    pieces, which are judged by their size, nor what a card itself has to mend, nor a cord that nobody
    has measured.
    """
    if finding.level is Level.STOP or finding.kind in NEVER_FOLDED or finding.in_the_card:
        return None
    if finding.hazard:
        return finding.hazard
    return finding.kind if finding.kind in FOLDABLE else None


@dataclass(frozen=True, slots=True)
class Weighed:
    """A finding with the room's policy beside it."""

    finding: Finding
    policy: Policy | None
    """None: the room has recorded nothing that folds it."""
    asks_again: bool = False
    """Whether the policy is a year old, so that the finding stands in full again."""

    @property
    def is_folded(self) -> bool:
        """Whether it is shown as one line beside the policy."""
        return self.policy is not None and not self.asks_again

    def in_a_line(self) -> str:
        """The finding in one line, with who decided what and when."""
        if self.policy is None:
            return self.finding.text
        said = policy_in_words(self.policy)
        if self.asks_again:
            return f"{self.finding.text}. The room's policy is a year old, look at it again: {said}"
        return f"{self.finding.text}. The room's policy: {said}"


def weigh(
    findings: Iterable[Finding], policies: Iterable[Policy], today: dt.date
) -> tuple[Weighed, ...]:
    """Each finding with the latest policy that speaks of it, in the order given.

    A policy speaks of a hazard key or a kind of finding; :func:`decided_by` says what is never
    folded.

    Args:
        findings: What the checks found.
        policies: What the room has recorded.
        today: The day on which it is asked; a policy asks again twelve months after it was made.
    """
    latest = {policy.kind: policy for policy in sorted(policies, key=lambda policy: policy.on)}
    return tuple(_weigh(finding, latest, today) for finding in findings)


def asks_again_on(policy: Policy) -> dt.date:
    """The day twelve months after a policy was made; the 1st of March after a 29th of February."""
    try:
        return policy.on.replace(year=policy.on.year + 1)
    except ValueError:
        return dt.date(policy.on.year + 1, 3, 1)


def _weigh(finding: Finding, latest: dict[str, Policy], today: dt.date) -> Weighed:
    policy = latest.get(decided_by(finding) or "")
    if policy is None:
        return Weighed(finding, None)
    return Weighed(finding, policy, today >= asks_again_on(policy))
