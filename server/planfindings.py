"""Findings of a unit as the plan page shows them: by rule, with what mends each in one step."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from library.cards.centers import center_title
from library.materials.allergens import in_everyday_words, tidy
from library.plan.checks import UnitCheck
from library.plan.unitplan import UnitPlan
from library.safety.allergens import not_known
from library.safety.grouping import group_findings
from library.safety.policies import Weighed, weigh
from library.store.paths import make_id
from library.units.calendar import open_days
from library.units.findings import KINDS, Finding, Level
from server.cautions import Decision, Drawn, decision_about, drawings_for
from server.links import unit_url
from server.missingcards import missing_card
from server.placing import find_url
from server.words import WRITTEN_DAY, day_spans, with_names

LATE, SHORT = "order", "durable"
"""The kinds of findings about what should have been ordered, and what is used twice on one day."""
ADULTS = "adults"
"""The kind of findings that say something of one day, and often the same of the next."""
NAMES_CENTERS = frozenset({ADULTS, "repeat"})
"""Kinds whose text names centers by their keys."""
NOT_COUNTED = "Not counted on a shelf yet"
"""What the entry is called for things of which the room has no line of stock."""
COUNT_FIRST = (
    "count what is on the shelf on the page of the room; then only what is short stands here"
)

PLANNING = frozenset({"coverage", "repeat", "closed", SHORT, LATE})
"""Kinds about the shelf, the calendar and what the plan leaves out; they are no cautions for children."""
OF_A_THING = frozenset({"small-part", "ball", "hazard", "allergen", "cord"})
"""Kinds that are about one thing, of which a page of its own says more."""


@dataclass(frozen=True, slots=True)
class Fix:
    """Something that mends a finding in one step: a link, or a form with one button."""

    shown: str
    url: str
    fields: tuple[tuple[str, str], ...] = ()
    """Where there are any, it is a form."""


@dataclass(frozen=True, slots=True)
class FindingLine:
    """One finding of a group, or several that differ in their day alone."""

    weighed: Weighed
    where: str
    fixes: tuple[Fix, ...]
    found: tuple[Finding, ...]
    """The findings that it stands for: one, or those that say the same of several days."""

    @property
    def finding(self) -> Finding:
        """The finding as the page says it."""
        return self.weighed.finding


@dataclass(frozen=True, slots=True)
class FindingGroup:
    """Findings of one rule about one thing; of stops, about all things of the same trays."""

    title: str
    level: Level
    lines: tuple[FindingLine, ...]
    drawings: tuple[tuple[str, Drawn], ...]
    """Each thing in the small-parts cylinder, where it is a small part of known size."""
    decision: Decision | None
    """What the room may decide about it."""

    @property
    def decided(self) -> bool:
        """Whether the room has a policy about all of it."""
        return all(line.weighed.is_folded for line in self.lines)

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """Each rule once, with everything that mends what it is about."""
        fixes: dict[tuple[str, str, bool], list[str]] = {}
        for line in self.lines:
            each = line.finding
            fix = COUNT_FIRST if self.title == NOT_COUNTED else each.fix
            fixes.setdefault((each.why, each.source, each.confirmed), []).append(fix)
        return tuple(Reason(*rule, tuple(dict.fromkeys(said))) for rule, said in fixes.items())

    @property
    def about_planning(self) -> bool:
        """Whether it is about the shelf, the calendar or gaps, and no caution for children."""
        return self.lines[0].finding.kind in PLANNING

    @property
    def things(self) -> tuple[str, ...]:
        """Materials of which a page of their own says more."""
        found = (line.finding.item for line in self.lines if line.finding.kind in OF_A_THING)
        return tuple(dict.fromkeys(filter(None, found)))

    @property
    def whose(self) -> tuple[str, ...]:
        """The children meant, with what they must not meet; shown only to who asks."""
        return tuple(dict.fromkeys(who for line in self.lines for who in line.finding.who))

    @property
    def id(self) -> str:
        """A name that stays the same while the plan changes."""
        finding = self.lines[0].finding
        return make_id(f"{finding.level} {self.title} {finding.hazard}")


@dataclass(frozen=True, slots=True)
class Reason:
    """A rule, and what mends each thing that it is about."""

    why: str
    source: str
    confirmed: bool
    fixes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Counted:
    """How many findings of a plan ask for a look."""

    stops: int
    trays: int
    """Cards at their centers on which a stop stands."""
    cautions: int
    """Entries one can open; findings of one rule about one thing are one."""

    @property
    def in_words(self) -> str:
        """``6 stops, 10 cautions to look at``; empty where there is neither."""
        said = [
            f"{number} {word}{'' if number == 1 else 's'}"
            for number, word in ((self.stops, "stop"), (self.cautions, "caution"))
            if number
        ]
        return f"{', '.join(said)} to look at" if said else ""


def count_findings(groups: Iterable[FindingGroup]) -> Counted:
    """Counts the stops, the trays they stand on, and the cautions that are about children."""
    found = tuple(groups)
    stops = [line.finding for each in found if each.level is Level.STOP for line in each.lines]
    cautions = [each for each in found if each.level is Level.CAUTION and not each.about_planning]
    trays = {(each.center, each.activity) for each in stops}
    return Counted(len(stops), len(trays), len(cautions))


def finding_groups(plan: UnitPlan, checked: UnitCheck, today: dt.date) -> tuple[FindingGroup, ...]:
    """The findings by rule and thing, the room's policies beside them.

    Stops of one rule on the same trays are put together, so that the rule is read once.
    """
    groups: list[FindingGroup] = []
    counted = _counted(plan)
    for findings in _same_trays(_by_rule(checked.findings, counted)):
        lines = tuple(
            FindingLine(
                replace(alike[0], finding=_said_once(plan, [each.finding for each in alike])),
                _where(plan, alike[0].finding),
                fixes_for(plan, alike[0].finding),
                tuple(each.finding for each in alike),
            )
            for alike in _of_several_days(weigh(findings, plan.room, today))
        )
        room = plan.room if plan.room.name else None
        decision = next(filter(None, (decision_about(each, room) for each in findings)), None)
        drawings = _drawings(findings, plan, f"drawn-{len(groups)}")
        title = _stop_title(plan, findings) if _is_tray_stop(findings[0]) else _title(findings[0])
        title = _errand(findings[0], counted) or title
        groups.append(FindingGroup(title, findings[0].level, lines, drawings, decision))
    return tuple(groups)


def _of_several_days(weighed: Iterable[Weighed]) -> Iterable[list[Weighed]]:
    """Findings about adults at once that differ in their day alone are put together."""
    found: dict[str | int, list[Weighed]] = {}
    for number, each in enumerate(weighed):
        by_day = each.finding.kind == ADULTS
        found.setdefault(WRITTEN_DAY.sub("", each.finding.text) if by_day else number, []).append(
            each
        )
    return found.values()


def _said_once(plan: UnitPlan, alike: list[Finding]) -> Finding:
    """The finding in the words of the page: centers by their titles, all days of adults at once."""
    first = alike[0]
    if first.kind not in NAMES_CENTERS:
        return first
    text = first.text
    if first.kind == ADULTS:
        written = (WRITTEN_DAY.search(each.text) for each in alike)
        days = day_spans(dt.date.fromisoformat(each[1]) for each in written if each)
        text = WRITTEN_DAY.sub(days, text, count=1)
    return replace(first, text=with_names(text, {}, plan.room.centers))


def _counted(plan: UnitPlan) -> frozenset[str]:
    """Main names of what the shelf has a line for, be it of nothing; its shared closet is meant too."""
    return frozenset(plan.materials.main_name(each.item).casefold() for each in plan.room.stock)


def _errand(finding: Finding, counted: Collection[str]) -> str:
    """What findings are called that one errand mends together; empty for one with a mending of its own.

    What was never counted is all short alike; that is mended by counting, once for all.
    """
    if finding.kind == SHORT and (finding.item or "").casefold() not in counted:
        return NOT_COUNTED
    return KINDS[LATE] if finding.kind == LATE else ""


def _drawings(
    findings: Iterable[Finding], plan: UnitPlan, ident: str
) -> tuple[tuple[str, Drawn], ...]:
    """A drawing for each thing of a group."""
    firsts: dict[str, Finding] = {}
    for each in findings:
        if each.item:
            firsts.setdefault(each.item, each)
    return tuple(
        (item, drawn)
        for number, (item, each) in enumerate(firsts.items())
        for drawn in drawings_for(each, plan.materials, f"{ident}-{number}")
    )


def _is_tray_stop(finding: Finding) -> bool:
    """Whether it is a stop on what lies at a center; a missing card and late prep are not."""
    return finding.level is Level.STOP and finding.kind in OF_A_THING


def _same_trays(groups: Iterable[tuple[Finding, ...]]) -> Iterator[tuple[Finding, ...]]:
    """Puts together the stops of one kind that stand on the same cards at the same centers."""
    found: dict[object, list[Finding]] = {}
    for number, group in enumerate(groups):
        first = group[0]
        trays = frozenset((each.center, each.activity) for each in group)
        key = (first.kind, trays) if _is_tray_stop(first) else number
        found.setdefault(key, []).extend(group)
    yield from map(tuple, found.values())


def _stop_title(plan: UnitPlan, findings: tuple[Finding, ...]) -> str:
    """``Token posting: metal token and river glass (small parts)``."""
    cards = dict.fromkeys(_card_title(plan, each) for each in findings)
    about = dict.fromkeys(each.item or (each.hazard or "").replace("-", " ") for each in findings)
    kind = KINDS.get(findings[0].kind, findings[0].kind).lower()
    return f"{_and(cards)}: {_and(about)} ({kind})"


def _and(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


@dataclass(frozen=True, slots=True)
class AllergenCount:
    """One allergen of the children who come, and how many stops it gives."""

    name: str
    stops: int


def allergens_looked_for(plan: UnitPlan, checked: UnitCheck) -> tuple[AllergenCount, ...]:
    """What children who attend on the unit's days must not meet, by allergen and never by child.

    So that nobody takes silence for an answer: an allergen that no material lists stands here too.
    """
    days = open_days(plan.unit, plan.room)
    there = {child.label: child for day in days for child in plan.room.attending(day)}
    names = dict.fromkeys(tidy(each) for child in there.values() for each in child.allergens)
    found = [
        allergen
        for finding in checked.findings
        for allergen in {each for _, shared in finding.whose for each in shared}
    ]
    return tuple(AllergenCount(in_everyday_words(name), found.count(name)) for name in names)


def not_known_in(plan: UnitPlan) -> tuple[str, ...]:
    """The things of a plan of which nobody knows what they hold."""
    cards = (each.card for each in (*plan.placed, *plan.swaps) if each.card and each.days)
    return not_known((line.item for card in cards for line in card.materials), plan.materials)


def levels_by_row(plan: UnitPlan, checked: UnitCheck) -> dict[int, tuple[Level, ...]]:
    """For each placement the levels that are marked in the table, most pressing first.

    Notes are not, and ages only beside the plan: a mixed room would have a mark on every line.
    """
    found: dict[int, list[Level]] = {}
    for finding in checked.findings:
        if finding.level is not Level.NOTE and finding.kind != "age":
            for row in _rows(plan, finding):
                found.setdefault(row, []).append(finding.level)
    return {row: tuple(dict.fromkeys(levels)) for row, levels in found.items()}


def fixes_for(plan: UnitPlan, finding: Finding) -> tuple[Fix, ...]:
    """What mends a finding in one step from the plan page."""
    if finding.kind == "coverage" and finding.center:
        stays = (("do", "stays"), ("center", finding.center))
        return (
            Fix("Find an activity", find_url(plan, finding.center)),
            Fix("It stays as it is", unit_url("units.place", plan.unit), stays),
        )
    if finding.kind in {SHORT, LATE}:
        return (Fix("Look at the supplies", unit_url("supplies.show", plan.unit)),)
    rows = _rows(plan, finding)
    if not rows or finding.activity is None:
        return ()
    row, center = rows[0], finding.center or ""
    if finding.kind == "missing":
        return _fixes_for_missing(plan, row, center, finding.activity or "")
    if finding.kind == "closed":
        edit_url = unit_url("units.edit", plan.unit, row=row)
        return (Fix("Take it out", edit_url, (("do", "remove"),)),)
    return (Fix("Choose another card", find_url(plan, center, row=row, do="swap")),)


def _fixes_for_missing(plan: UnitPlan, row: int, center: str, gone: str) -> tuple[Fix, ...]:
    """Similar cards to take with one tap; a rain swap is replaced as a rain swap."""
    edit_url = unit_url("units.edit", plan.unit, row=row)
    placement = next(each for each in plan.unit.placements if each.row == row)
    do = "swap" if placement.activity == gone else "rain"
    nothing = (("do", "remove"),) if do == "swap" else (("do", "rain"), ("activity", ""))
    return (
        *(
            Fix(f"Take {each.title}", edit_url, (("do", do), ("activity", each.id)))
            for each in missing_card(gone, center).instead
        ),
        Fix("Choose another card", find_url(plan, center, row=row, do=do)),
        Fix("Take it out", edit_url, nothing),
    )


def _by_rule(
    findings: Iterable[Finding], counted: Collection[str]
) -> Iterator[tuple[Finding, ...]]:
    """Findings of one rule about one thing; empty centers and areas without a goal apart.

    Those that one errand mends are one group, where the first of them stands.
    """
    found = tuple(findings)
    for group in group_findings(found):
        if errand := _errand(group.first, counted):
            alike = tuple(each for each in found if _errand(each, counted) == errand)
            if group.first is alike[0]:
                yield alike
            continue
        for has_center in (True, False):
            part = tuple(
                each
                for each in group.findings
                if each.kind != "coverage" or (each.center is not None) == has_center
            )
            if part and (has_center or group.first.kind == "coverage"):
                yield part


def _title(finding: Finding) -> str:
    if finding.kind == "coverage":
        return "Empty centers" if finding.center else "Areas without a goal"
    title = KINDS.get(finding.kind, finding.kind)
    about = finding.item or (finding.hazard or "").replace("-", " ")
    if not about or about == title.casefold() or finding.kind == LATE:
        return title
    return f"{title}: {about}"


def _rows(plan: UnitPlan, finding: Finding) -> list[int]:
    """The rows of the placements that a finding speaks of.

    A finding without a card that is about a thing or a hazard stands for what is added to a center.
    """
    if finding.activity is None and finding.item is None and finding.hazard is None:
        return []
    return [
        placement.row
        for placement in plan.unit.placements
        if placement.center == finding.center
        and (
            placement.activity is None
            if finding.activity is None
            else finding.activity in (placement.activity, placement.instead)
        )
    ]


def _where(plan: UnitPlan, finding: Finding) -> str:
    """Card and center in words, where the finding does not say them itself."""
    if finding.center is None or finding.kind in {"coverage", "missing", "repeat"}:
        return ""
    if finding.activity is None:
        return center_title(finding.center)
    title = _card_title(plan, finding)
    center = center_title(finding.center)
    if title and finding.text.casefold().startswith(title.casefold()):
        return center
    return f"{title} at {center}" if title else center


def _card_title(plan: UnitPlan, finding: Finding) -> str:
    """What to call the card of a finding; its center where it is about what is added there."""
    if finding.activity is None:
        return center_title(finding.center or "")
    everything = (*plan.placed, *plan.swaps)
    return next(
        (plan.title_of(p) for p in everything if p.placement.activity == finding.activity),
        finding.activity,
    )
