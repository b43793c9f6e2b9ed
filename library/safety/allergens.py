"""Allergens: the two published lists, what play materials may hold, and what to take instead.

Only what a material states in ``allergens`` is set against the children's; names are no proof
(FIND4). The table here says where a label should be read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from library.materials.allergens import GLUTEN, nearly, parts_of, read_allergen, tidy
from library.materials.material import Kind, Material, MaterialBook
from library.room.room import Child
from library.safety.case import Case
from library.safety.wording import Phrase, phrase, stands_at, tokens
from library.units.findings import Finding, Level

US_NINE = (
    "milk", "egg", "fish", "shellfish", "tree-nut", "peanut", "wheat", "soy", "sesame",
)  # fmt: skip
"""Major allergens: FALCPA (2004) and the FASTER Act (P.L. 117-11), in force from 2023 with sesame.
Shellfish are crustaceans; molluscs are not listed."""

EU_FOURTEEN = (
    "gluten", "shellfish", "egg", "fish", "peanut", "soy", "milk", "tree-nut", "celery", "mustard",
    "sesame", "sulphite", "lupin", "mollusc",
)  # fmt: skip
"""Regulation (EU) 1169/2011, Annex II. Gluten is wheat, rye, barley and oats; shellfish are
crustaceans; the nuts are almond, hazelnut, walnut, cashew, pecan, Brazil, pistachio, macadamia."""

GLUTEN_CEREALS = frozenset({"wheat", "rye", "barley", "oats", "oat", "spelt"})
"""What the EU's list calls gluten (Annex II, 1)."""

GLUTEN_GRAINS = frozenset({"wheat", "rye", "barley", "spelt", "triticale"})
"""What holds gluten by US law: 21 CFR 101.91(a)(1), from memory; oats are no such grain there."""

FOOD = frozenset({"food", "choking-food"})
"""Hazard keys of what is eaten."""

CDC = "CDC, Voluntary Guidelines for Managing Food Allergies (2013)"


@dataclass(frozen=True, slots=True)
class LabelRow:
    """One row of the table: things of these names may hold these allergens."""

    names: tuple[Phrase, ...]
    may_hold: tuple[str, ...]
    instead: str
    confirmed: bool = True
    """False where the row is from memory."""


def _row(
    names: Iterable[str], may_hold: Iterable[str], instead: str, *, confirmed: bool = True
) -> LabelRow:
    return LabelRow(tuple(map(phrase, names)), tuple(may_hold), instead, confirmed)


LABELS: tuple[LabelRow, ...] = (
    _row(
        ("flour", "dough", "play dough", "papier mache", "paper mache", "craft paste", "paste"),
        ("wheat",),
        "dough of rice flour, cooked, for everybody in the room, with clean tools on a washed table",
    ),
    _row(
        ("pasta", "macaroni", "noodle"),
        ("wheat", "egg"),
        "tubes of cardboard too large for the cylinder",
    ),
    _row(
        ("finger paint",),
        ("wheat", "milk", "oats"),
        "a finger paint whose label names none of them, or cornstarch paint",
    ),
    _row(("tempera", "tempera paint"), ("egg",), "a washable paint whose label names no egg"),
    _row(("chalk",), ("milk",), "chalk that is not the dustless kind, by its label"),
    _row(("crayon",), ("soy",), "crayons of another wax, by their label"),
    _row(("egg carton", "egg box"), ("egg",), "a muffin tin, or cups cut from cardboard tubes"),
    _row(("milk carton",), ("milk",), "a box that held no food"),
    _row(
        ("bird seed", "birdseed", "seed cake"),
        ("peanut", "tree-nut", "sesame", "wheat"),
        "stones and leaves to look at; leave the feeder out",
        confirmed=False,
    ),
    _row(
        ("peanut butter", "nut butter"),
        ("peanut", "tree-nut"),
        "nothing in its place: nut butter has no part in play",
    ),
    _row(
        ("shaving foam", "shaving cream"),
        ("milk",),
        "soap whipped with water",
        confirmed=False,
    ),
    _row(
        ("soap", "bubble mix", "bubble solution"),
        ("oats", "wheat", "soy", "tree-nut"),
        "a soap whose label names none of them",
        confirmed=False,
    ),
)
"""Source: an allergy charity's chart for schools (2013 to 2023) and lists of the allergy press;
rows that are not confirmed are from memory. Sensory filler of grains, cereal or sweets may hold
any allergen."""


def label_row(name: str) -> LabelRow | None:
    """The row of the table for a thing of this name; None where the table has none."""
    words = tokens(name)
    for row in LABELS:
        for names in row.names:
            if stands_at(words, len(words) - len(names), names) and len(words) >= len(names):
                return row
    return None


def held(allergens: Iterable[str], *, eu: bool = False) -> frozenset[str]:
    """A material's allergens as they are compared.

    An everyday name counts as what it is read as. What grain holds gluten is said by the European
    Union's list alone (FIND4).

    Args:
        allergens: As stated.
        eu: Whether the EU's names count too.
    """
    stated = frozenset(map(tidy, allergens))
    found = stated.union(*map(read_allergen, stated))
    return found | {GLUTEN} if eu and found & GLUTEN_CEREALS else found


def check_allergens(case: Case) -> Iterator[Finding]:
    """One stop for each material that holds an allergen of a child who attends on its days (FIND4).

    A child's allergen counts as what it is read as: dairy as milk, nuts as tree nuts and peanut.

    Source: CDC guidelines on food allergies in schools and early care (2013): identified
    allergens stay out of projects, crafts and cooking.
    """
    for item in case.items:
        if item.material is None or not item.material.allergens:
            continue
        holds = held(item.material.allergens, eu=case.eu)
        hit = [(child, shared_with(child, holds)) for child in case.children]
        hit = [(child, shared) for child, shared in hit if shared]
        if hit:
            yield _finding(case, item.name, hit)


def label_to_read(material: Material) -> str | None:
    """Why a label has to be read before silence means anything; None where it has not.

    What is eaten and states no allergens has to be looked at, and whatever its entry says nobody has
    read. Most things of a library have no label; for these a missing word asks nothing.
    """
    if material.allergens or material.label_read:
        return None
    if material.label_read is False:
        return "nobody has read it yet"
    is_food = material.kind is Kind.CONSUMABLE and not FOOD.isdisjoint(material.hazards)
    return "nobody has written down what it names" if is_food else None


def check_labels(case: Case) -> Iterator[Finding]:
    """One caution for each material of which nobody knows what its label names (FIND1: food).

    Only where a child with an allergen attends, or where nobody is known to.

    Source: CDC guidelines on food allergies in schools and early care (2013).
    """
    if case.children and not any(child.allergens for child in case.children):
        return
    for item in case.items:
        reason = label_to_read(item.material) if item.material else None
        if reason:
            yield Finding(
                level=Level.CAUTION,
                kind="food",
                text=f"{item.name}: read its label, because {reason}",
                why="Identified allergens stay out of projects, crafts, science and cooking; what is "
                "not known of a thing, no check can find",
                source=CDC,
                fix="read the label of the pack in hand, and write down what it names on the "
                "material's page; until then leave it out where a child must not meet an allergen",
                center=case.center,
                activity=case.activity,
                item=item.name,
                in_the_card=True,
            )


def not_known(items: Iterable[str], materials: MaterialBook) -> tuple[str, ...]:
    """Of some things those of which nobody knows what they hold, by main name, each once.

    They are not described at all, or their label has still to be read.
    """
    found = ((materials.main_name(item), materials.find(item)) for item in items)
    return tuple(dict.fromkeys(name for name, each in found if each is None or label_to_read(each)))


def unmatched_allergens(children: Iterable[Child], materials: MaterialBook) -> tuple[str, ...]:
    """Allergens of children that no list and no material names, so that no check can find them.

    Args:
        children: The room's children.
        materials: What materials state, and whether the European Union's list counts too.
    """
    names = known_allergens(materials)
    told = (part for child in children for each in child.allergens for part in parts_of(each))
    return tuple(dict.fromkeys(each for each in told if names.isdisjoint(read_allergen(each))))


def known_allergens(materials: MaterialBook) -> frozenset[str]:
    """What a child's allergen can be held against: the lists that are read, and what materials state."""
    stated = (tidy(allergen) for material in materials for allergen in material.allergens)
    return frozenset((*US_NINE, *(EU_FOURTEEN if materials.eu else ()), *stated))


def perhaps_meant(allergen: str, materials: MaterialBook) -> tuple[str, ...]:
    """Known allergens that a word may have been meant for which no check can find; often none."""
    names = known_allergens(materials)
    return tuple(each for each in nearly(allergen, names) if each in names)


def avoided_by(children: Iterable[Child]) -> frozenset[str]:
    """What children must not meet, as materials call it."""
    told = (allergen for child in children for allergen in child.allergens)
    return frozenset(name for allergen in told for name in read_allergen(allergen))


def shared_with(child: Child, holds: frozenset[str]) -> tuple[str, ...]:
    """The allergens of a child, as its team writes them, that are among those held; once each."""
    told = dict.fromkeys(map(tidy, child.allergens))
    return tuple(each for each in told if not holds.isdisjoint(read_allergen(each)))


def _finding(case: Case, item: str, hit: list[tuple[Child, tuple[str, ...]]]) -> Finding:
    who = "; ".join(f"{child.label}: {', '.join(shared)}" for child, shared in hit)
    row = label_row(item)
    instead = (
        f"take {row.instead}" if row else "leave it out, or use one whose label does not name it"
    )
    return Finding(
        level=Level.STOP,
        kind="allergen",
        text=f"{item} holds, or may hold, an allergen of a child who is there ({who})",
        why="Identified allergens stay out of projects, crafts, science and cooking; a label can "
        "change from one pack to the next",
        source=CDC,
        fix=f"{instead}; read the label of the pack in hand and follow the child's own plan",
        center=case.center,
        activity=case.activity,
        item=item,
        whose=tuple((child.label, shared) for child, shared in hit),
    )
