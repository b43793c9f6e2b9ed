"""Findings from the published list of hazards, and on food, water and cords, which have kinds of their own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from library.cards.portions import portions
from library.cards.values import Adult
from library.materials.amounts import Quantity
from library.materials.material import Kind, Weight
from library.materials.measures import Unlike, convert
from library.materials.shapes import parse_length, show_mm
from library.safety.case import Case, Item
from library.safety.hazards import Mention, of_key
from library.safety.standing import filled_ahead
from library.safety.wording import is_denied, stands_at, tokens
from library.store.problems import Unreadable
from library.units.findings import Finding, Level

LONG_CORD = 300.0
"""mm from which a cord is a finding (FIND12). CFOC 3.4.6.1 gives no number."""

MUCH_WATER = 1.0
"""Liters in one set-up from which water is a finding (FIND12)."""

NO_TABLE = 18
"""Months under which there is no sensory table at all (CFOC 6.2.4.3)."""

TUBS = frozenset({"water", "sensory"})
"""Centers with an open tub; elsewhere water may be in bottles or in the sand."""

TABLE_FILLING = frozenset({"water", "sand", "snow", "ice"})
"""Words of names of what the standard has in a toddlers' table; snow and ice are water."""

DRINKING_VESSELS = frozenset({"cup", "glass", "bottle", "mug"})
"""Last words of names of what children drink from; CFOC 6.2.4.2 keeps them from the water table."""


def check_hazards(case: Case) -> Iterator[Finding]:
    """One finding for each material and hazard, and one for each hazard that only the text names.

    A material's own keys count, then the words of its name. Levels are those of the list for the
    youngest child there; where it says nothing of that age there is no finding.
    """
    named: set[str] = set()
    for item in case.items:
        for mention in item.mentions:
            named.add(mention.hazard.key)
            if mention.hazard.kind == "hazard":
                yield from _listed(case, mention, item.name)
    for mention in _strictest(case):
        if mention.hazard.kind == "hazard" and mention.hazard.key not in named:
            named.add(mention.hazard.key)
            yield from _listed(case, mention, None)
    filler = of_key("loose-fill")
    if case.center == "sensory" and case.youngest < NO_TABLE and filler.hazard.key not in named:
        text = f"A sensory table is not for children under {NO_TABLE} months; {case.who}"
        yield _finding(case, filler, Level.STOP, text, None)
    elif (other := _other_filling(case)) and filler.hazard.key not in named:
        text = f"{' and '.join(other)} in the sensory table; {case.who}"
        yield from _at_its_level(case, filler, text, other[0])


def check_food(case: Case) -> Iterator[Finding]:
    """A caution for each material that is eaten, or for a text that speaks of eating (FIND12).

    Source: CFOC 4.5.0.10 for foods that block a throat, under four years; CDC guidelines (2013).
    """
    items = [(item, mention) for item in case.items if (mention := _first(item, "food"))]
    for item, mention in items:
        yield from _listed(case, mention, item.name)
    if not items:
        for mention in case.mentions:
            if mention.hazard.kind == "food" and (found := [*_listed(case, mention, None)]):
                yield from found
                return


def check_cords(case: Case) -> Iterator[Finding]:
    """A caution for each cord of 300 mm and more, or of no stated length (FIND12).

    A cord that nobody has measured is to be mended in its entry; no room decides that away.

    Source: CFOC 3.4.6.1, which gives no number.
    """
    named = False
    for item in case.items:
        reason = _cord(item)
        if reason:
            named = True
            text = f"{item.name} {reason}"
            found = _finding(case, of_key("cord"), Level.CAUTION, text, item.name)
            yield replace(found, in_the_card="measure it" in reason)
    if not named:
        for mention in case.mentions:
            if mention.hazard.kind == "cord":
                yield from _listed(case, mention, None)
                return


def check_water(case: Case) -> Iterator[Finding]:
    """One caution where a placement stands at water, or has 1 l of it and more (FIND12).

    Source: CFOC 6.2.4.2 and 6.3.5.2: 1 to 2 in of water are enough to drown in.
    """
    item, reason = _water_item(case)
    mentions = [mention for mention in case.mentions if mention.hazard.kind == "water"]
    if case.center == "water":
        reason = "this stands at the water table"
    elif not reason and mentions:
        reason = f"its text names '{mentions[0].words}'"
    if reason:
        to_mend = f"{_only_in_sight(case)}{_filled_ahead(case)}"
        text = f"A child can drown in 25 mm of water: {reason}{to_mend}{_vessels(case)}"
        found = _finding(case, of_key("water"), Level.CAUTION, text, item)
        yield replace(found, in_the_card=bool(to_mend))


def _first(item: Item, kind: str) -> Mention | None:
    """The first hazard of a kind that a material has; choking foods go before other food."""
    found = {m.hazard.key: m for m in item.mentions if m.hazard.kind == kind}
    return found.get("choking-food") or next(iter(found.values()), None)


def _strictest(case: Case) -> Iterator[Mention]:
    """For each hazard that the text names in several senses, the one that asks for most."""
    levels = [*Level, None]
    found: dict[str, Mention] = {}
    for mention in sorted(
        case.mentions, key=lambda each: levels.index(each.sense.level(case.youngest))
    ):
        found.setdefault(mention.hazard.key, mention)
    yield from found.values()


def _listed(case: Case, mention: Mention, item: str | None) -> Iterator[Finding]:
    if _is_answered(case, mention):
        return
    name = mention.hazard.key.replace("-", " ")
    listed = "needs care" if mention.sense.source else f"is on the published list under '{name}'"
    what = item or f"'{mention.words}' in the text"
    yield from _at_its_level(case, mention, f"{what} {listed}; {case.who}", item)


def _at_its_level(case: Case, mention: Mention, text: str, item: str | None) -> Iterator[Finding]:
    """The finding at the level for the youngest child there; none where nothing is said of that age."""
    level = mention.sense.level(case.youngest)
    if level is not None:
        yield _finding(case, mention, level, text, item)


def _other_filling(case: Case) -> tuple[str, ...]:
    """What fills a sensory table besides water and sand, and is no listed hazard itself (CFOC 6.2.4.3)."""
    if case.center != "sensory":
        return ()
    used_up = (
        each
        for each in case.items
        if each.material and each.material.kind is Kind.CONSUMABLE and not each.mentions
    )
    return tuple(
        each.name for each in used_up if TABLE_FILLING.isdisjoint(each.name.casefold().split())
    )


def _is_answered(case: Case, mention: Mention) -> bool:
    """Whether a step of the card does what the hazard asks for."""
    steps = [tokens(step.do) for step in case.card.steps] if case.card else []
    return any(
        stands_at(words, start, done) and not is_denied(words, start, len(done))
        for words in steps
        for start in range(len(words))
        for done in mention.sense.answered
    )


def _finding(case: Case, mention: Mention, level: Level, text: str, item: str | None) -> Finding:
    entry, sense = mention.hazard, mention.sense
    source, confirmed = sense.source or (entry.source, entry.confirmed)
    return Finding(
        level=level,
        kind=entry.kind,
        text=text,
        why=sense.text,
        source=source,
        fix=sense.instead,
        center=case.center,
        activity=case.activity,
        item=item,
        hazard=entry.key,
        confirmed=confirmed,
    )


def _cord(item: Item) -> str:
    """What is to be said of a material's cord; empty if nothing is."""
    material = item.material
    if material is not None and material.cord is not None:
        if not material.cord.strip():
            return "has a cord of no stated length: measure it"
        try:
            length = parse_length(material.cord)
        except Unreadable as error:
            return f"has a cord whose length cannot be read ({error}): measure it"
        return f"has a cord of {show_mm(length)} mm" if length >= LONG_CORD else ""
    if any(mention.hazard.kind == "cord" for mention in item.mentions):
        return "is or has a cord of no stated length: measure it"
    return ""


def _water_item(case: Case) -> tuple[str | None, str]:
    """The material that brings water, and why it counts; no reason if there is too little."""
    if case.card is None:
        return None, ""
    most = case.card.group.high if case.card.group else 1
    portioned = portions(case.card, children=len(case.children) or most, adults=1)
    item, reason = None, ""
    for each in case.items:
        if each.name.casefold().split()[-1:] == ["water"]:
            item = each.name
            weight = each.material.weight if each.material else None
            reason = (
                _much([p.quantity for p in portioned if p.line in each.lines], weight) or reason
            )
        elif any(mention.hazard.kind == "water" for mention in each.mentions):
            item, reason = item or each.name, reason or f"{each.name} holds it"
    return item, reason


def _much(amounts: list[Quantity | None], weight: Weight | None) -> str:
    """Why amounts of water count; empty if they are together under 1 l."""
    liters = 0.0
    for amount in amounts:
        try:
            liters += float(convert(amount, "l", weight).number) if amount else MUCH_WATER
        except Unlike:
            return f"'{amount}' does not say how much it is"
    return f"{liters:.3g} l in one set-up" if liters >= MUCH_WATER else ""


def _only_in_sight(case: Case) -> str:
    """A clause where the card lets the adult stand farther off than the water allows."""
    if case.card is None or case.center not in TUBS or case.card.adult is Adult.WITHIN_REACH:
        return ""
    return ". Its card has the adult within sight; beside water an adult is within reach"


def _filled_ahead(case: Case) -> str:
    """A clause where a step fills something with water before the morning."""
    for step in filled_ahead(case.card, case.center or "") if case.card else ():
        return (
            f". Its step '{step.do}' is marked ahead, and no filled water stands overnight: "
            "mark it morning"
        )
    return ""


def _vessels(case: Case) -> str:
    """A clause where children might drink from what is put out at the water table."""
    if case.center != "water":
        return ""
    words = {item.name: item.name.casefold().split() for item in case.items}
    found = [
        name
        for name, parts in words.items()
        if DRINKING_VESSELS.intersection(parts[-1:]) and "spray" not in parts
    ]
    listed = ", ".join(found)
    said = "CFOC 6.2.4.2 keeps what one drinks from out of water play, so take something else than"
    return f". {said} {listed}" if found else ""
