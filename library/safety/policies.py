"""What a room has decided about a caution: the finding folds beside it and never vanishes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.room.room import Policy, Room, youngest_months
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
    asks_again: str = ""
    """What is true of the policy by now, so that the finding stands in full again."""

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
            return f"{self.finding.text}. The room's policy {self.asks_again}, look at it again: {said}"
        return f"{self.finding.text}. The room's policy: {said}"


def weigh(findings: Iterable[Finding], room: Room | None, today: dt.date) -> tuple[Weighed, ...]:
    """Each finding with the latest policy that speaks of it, in the order given.

    A policy speaks of a hazard key or a kind of finding; :func:`decided_by` says what is never
    folded, and :func:`asks_again` when a policy no longer folds anything.

    Args:
        findings: What the checks found.
        room: What it has recorded, and its children; None: nothing is folded.
        today: The day on which it is asked.
    """
    if room is None:
        return tuple(Weighed(finding, None) for finding in findings)
    return tuple(_weigh(finding, room, today) for finding in findings)


def _weigh(finding: Finding, room: Room, today: dt.date) -> Weighed:
    policy = policy_about(decided_by(finding) or "", room)
    return Weighed(finding, policy, asks_again(policy, room, today) if policy else "")


def policy_about(about: str, room: Room) -> Policy | None:
    """The latest policy of a room about a kind of finding or a hazard; of one day the one written last."""
    made = [policy for policy in room.policies if policy.kind == about]
    return max(reversed(made), key=lambda policy: policy.on, default=None)


def asks_again(policy: Policy, room: Room, today: dt.date) -> str:
    """Why a policy no longer folds anything; empty while it does.

    It was weighed for the children of its day, so it asks when a child is in the room's list who
    was younger on that day than the youngest was; and twelve months after it was made. Units: completed
    calendar months. Common practice, no source.
    """
    youngest = youngest_months(room.staying(today), policy.on)
    if youngest is not None and policy.youngest is None:
        return "was made before any child was known"
    if youngest is not None and policy.youngest is not None and youngest < policy.youngest:
        return "was made before a younger child came"
    return "is a year old" if today >= asks_again_on(policy) else ""


def asks_again_on(policy: Policy) -> dt.date:
    """The day twelve months after a policy was made; the 1st of March after a 29th of February."""
    try:
        return policy.on.replace(year=policy.on.year + 1)
    except ValueError:
        return dt.date(policy.on.year + 1, 3, 1)
