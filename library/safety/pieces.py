"""Findings on loose pieces: what fits the cylinder, small balls, and what has to be measured."""

from __future__ import annotations

from collections.abc import Iterator

from library.materials.material import Kind, Material
from library.materials.shapes import Ball, Shape, describe, parse_shape
from library.safety.case import Case, Item
from library.safety.small_parts import (
    fit,
    is_small_ball,
    is_small_part,
    is_small_round_piece,
    may_fit_squeezed,
    through_hole,
)
from library.store.problems import Unreadable
from library.units.findings import Finding, Level

_MEASURE = (
    "measure the smallest piece and write it down on the material's page; until then keep out what "
    "drops into a small-parts tester"
)
NO_SIZE = "it has no size"
_GRAINS = frozenset(
    "rice oat oats barley millet couscous quinoa wheat corn seed seeds lentil lentils bean beans".split()
)
"""Last words of names of what is poured by the grain: nobody needs a ruler for it."""
UNDER = 36
"""Months under which the rules on small parts hold: 16 CFR 1501.2(a), 1500.18(a)(17)."""

CYLINDER_SOURCE = "16 CFR 1501.2 and 1501.4; CFOC 6.4.1.2"
_CYLINDER = (
    "What fits wholly into the small-parts cylinder, 1.25 in wide and 1 to 2.25 in deep, in any "
    "position, can block a throat: the law keeps it out of toys for children under three, and the "
    "published standard of care out of their reach. A piece up to 1 mm too large counts as fitting; "
    "that millimetre is this program's own, since nobody measures more finely"
)
_ONLY_SIZE = "Only its size was looked at: not its edges, what it is made of or whether it breaks"
_POURED = frozenset(
    "water paint glue paste oil milk juice soap flour salt sugar starch cornstarch powder color "
    "colour dye vinegar syrup sand dough clay cream tartar spice cinnamon".split()
)
_SHEETS = frozenset("paper sheet foil film cellophane tissue newspaper stock tape".split())
"""Last words of names that say a liquid, a powder or a sheet (PART3)."""


def check_small_parts(case: Case) -> Iterator[Finding]:
    """One finding for each piece that fits the cylinder, or of which that is not known (PART1, PART3).

    Source: 16 CFR 1501.4, in the inch measures.
    """
    for item in case.items:
        finding = _look_at(item, case)
        if finding is not None:
            yield finding


def check_balls(case: Case) -> Iterator[Finding]:
    """One finding for each ball up to 45.45 mm; one that fits the cylinder has both (PART2, PART5).

    Source: 16 CFR 1500.18(a)(17) and 1500.19(a)(2).
    """
    for item in case.items:
        shape = known_shape(item.material)
        if not isinstance(shape, Ball) or not is_small_ball(shape):
            continue
        if item.material and item.material.loose is not False:
            yield _finding(
                case,
                item,
                _by_age(case),
                "ball",
                f"{item.name}, {_in_words(shape)}, {through_hole(shape)}; {case.who}",
                why="Balls that pass a hole of 1.75 in are not for children under three: a round "
                "thing seals a throat. One up to 1 mm wider counts as passing; that millimetre is "
                "this program's own, since nobody measures more finely",
                source="16 CFR 1500.18(a)(17) and 1500.19(a)(2)",
                fix=f"use a ball of 50 mm and more that does not crack. {_ONLY_SIZE}",
            )


def check_round_pieces(case: Case) -> Iterator[Finding]:
    """A caution for round pieces narrower than 1.75 in that the cylinder lets pass (PART8).

    Source: CFOC 6.4.1.2, which is guidance and wider than the federal rule.
    """
    if case.youngest >= UNDER:
        return
    for item in case.items:
        shape = known_shape(item.material)
        if shape is None or not item.material or item.material.loose is not True:
            continue
        if is_small_round_piece(shape) and not is_small_part(shape):
            yield _finding(
                case,
                item,
                Level.CAUTION,
                "hazard",
                f"{item.name}, {_in_words(shape)}, is round and narrower than 1.75 in (44.45 mm); "
                f"{case.who}",
                why="Round and egg-shaped pieces narrower than 1.75 in are on the published list "
                "to keep from children under three",
                source="CFOC 6.4.1.2",
                fix="use a round piece of 50 mm and more",
            )


def known_shape(material: Material | None) -> Shape | None:
    """The shape of a material, read; None where there is none or it cannot be read."""
    if material is None or material.shape is None:
        return None
    try:
        return parse_shape(material.shape)
    except Unreadable:
        return None


def is_judged_squeezed(material: Material) -> bool:
    """Whether a soft piece is looked at squeezed: not a cord, nor food, which have checks of their own."""
    is_food = not {"food", "choking-food"}.isdisjoint(material.hazards)
    return material.soft and material.cord is None and not is_food


def what_to_measure(material: Material) -> str | None:
    """Why a material has to be measured before anything can be said of it; None if it has not (PART3).

    A material that is stated not to be loose needs no size. Where that is not stated, durables,
    printables and consumables other than liquids, powders and sheets have to be looked at.
    """
    if material.loose is False:
        return None
    if material.shape is not None:
        try:
            parse_shape(material.shape)
        except Unreadable as error:
            return f"its size cannot be read: {error}"
    if material.loose is None:
        if _is_no_piece(material):
            return None
        return "nobody has stated whether a child can pick it up by itself"
    return None if material.shape is not None else NO_SIZE


def _look_at(item: Item, case: Case) -> Finding | None:
    material = item.material
    if material is None:
        return _measure(item, case, "nobody has described it yet")
    reason = what_to_measure(material)
    if reason is not None:
        return _measure(item, case, reason)
    shape = known_shape(material)
    if material.loose is not True or shape is None:
        return None
    if is_small_part(shape):
        return _small_part(item, case, shape)
    if case.youngest < UNDER and is_judged_squeezed(material) and may_fit_squeezed(shape):
        return _squeezed(item, case, shape)
    return None


def _small_part(item: Item, case: Case, shape: Shape) -> Finding:
    return _finding(
        case,
        item,
        _by_age(case),
        "small-part",
        f"{item.name}, {describe(shape)}, {fit(shape).in_words()}; {case.who}",
        why=_CYLINDER,
        source=CYLINDER_SOURCE,
        fix=f"use something larger that cannot chip or break, or one that is fixed. {_ONLY_SIZE}. Is the "
        "size wrong? Measure the smallest piece, and write it down on the material's page",
    )


def _measure(item: Item, case: Case, reason: str) -> Finding:
    text, fix = f"{item.name}: measure it, because {reason}", _MEASURE
    if _is_grain(item.name):
        text = f"{item.name}: every grain is a small part"
        fix = "choose another filling; what the published list says of it stands with it"
    told = {a for child in case.children for a in child.allergens}
    if item.material is None and told:
        fix += f"; ask what it is made of and what it held before: {', '.join(sorted(told))} in this room"
    level = Level.CAUTION if case.youngest < UNDER else Level.NOTE
    return _finding(
        case, item, level, "small-part", text, why=_CYLINDER, source=CYLINDER_SOURCE, fix=fix
    )


def _squeezed(item: Item, case: Case, shape: Shape) -> Finding:
    return _finding(
        case,
        item,
        Level.CAUTION,
        "small-part",
        f"{item.name}, {describe(shape)}, can be squeezed, bitten or broken: measure it squeezed, "
        "and look for pieces that have come off",
        why="The published test takes things uncompressed; a mouth does not. Squeezed to a fifth of "
        "its volume, this would be no more than the cylinder holds",
        source=f"common practice, no source (cylinder: {CYLINDER_SOURCE})",
        fix="squeeze one into a small-parts tester; use a larger one, or take out each piece that "
        "has broken short",
    )


def _finding(
    case: Case, item: Item, level: Level, kind: str, text: str, *, why: str, source: str, fix: str
) -> Finding:
    return Finding(level, kind, text, why, source, fix, case.center, case.activity, item.name)


def _by_age(case: Case) -> Level:
    """Stop with a child under three, else a note (PART4)."""
    return Level.STOP if case.youngest < UNDER else Level.NOTE


def _in_words(shape: Shape | None) -> str:
    return describe(shape) if shape is not None else ""


def _is_grain(name: str) -> bool:
    return not _GRAINS.isdisjoint(name.casefold().split()[-1:])


def _is_no_piece(material: Material) -> bool:
    if material.kind is Kind.BOOK:
        return True
    last = material.item.casefold().split()[-1:]
    return material.kind is Kind.CONSUMABLE and set(last) <= _POURED | _SHEETS
