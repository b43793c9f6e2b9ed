"""Gathers what the form of a card shows: remarks beside the fields, the preview, what is asked first."""

from __future__ import annotations

import datetime as dt
import difflib
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace

from library.cards.card import Card
from library.cards.checking import Known, check_card
from library.cards.parsing import Parsed
from library.cards.portions import Portion, portions
from library.cards.rendering import Section, split_sections
from library.materials.adding import NewMaterial, wrong_about_label
from library.materials.material import Kind, Material, MaterialBook
from library.materials.shapes import parse_shape
from library.search.similar import Similar, likely_duplicates
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Plain
from library.units.dressing import dress
from library.units.findings import Finding
from server.cardforms import new_materials, typed_items
from server.cardwords import in_form_words, is_unfilled
from server.cautions import CardCautions, card_cautions
from server.forms import Filled
from server.shelf import shelf
from server.words import facts

CHILDREN, ADULTS = 8, 2
"""Taken for the amounts of a preview where no room is loaded."""
WORDS = "parts"
"""The field beside which stands what was found in the words of a card."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """A material that the library does not know yet, and what was said of it so far."""

    said: NewMaterial
    near: tuple[str, ...]
    """Materials whose names are nearly the same."""


@dataclass(frozen=True, slots=True)
class Preview:
    """The card as it would be read."""

    card: Card
    facts: tuple[tuple[str, str], ...]
    portions: tuple[Portion, ...]
    children: int
    sections: tuple[Section, ...]
    cautions: CardCautions


@dataclass(frozen=True, slots=True)
class Remarks:
    """What a form has to say of what was typed so far."""

    problems: Mapping[str, tuple[Problem, ...]]
    """By field of the catalogue."""
    findings: Mapping[str, tuple[Finding, ...]]
    unknown: tuple[Unknown, ...]
    alike: tuple[Similar, ...]
    """Cards that may be the same activity."""
    preview: Preview | None
    """None as long as no card can be made of it."""


def remarks_on(form: Filled, parsed: Parsed, known: Known) -> Remarks:
    """Everything that can be said of a card while it is typed.

    What a field is told already is not told again, nor what somebody has not come to yet, nor
    that a material is new, since the form asks about it.

    Args:
        form: What was typed.
        parsed: What came of it.
        known: What cards may refer to.
    """
    card, book, values = parsed.card, known.materials, form.values
    seen = with_new(book, values)
    rest = replace(known, materials=MaterialBook())
    problems = in_form_words(check_card(card, rest) if card else parsed.problems, values)
    new = [
        each for each in problems if not form.wrong(each.field) and not is_unfilled(each, values)
    ]
    cautions = card_cautions(_dressed(card), seen, None, dt.date.today()) if card else None
    findings = [each.finding for each in cautions.shown] if cautions else []
    return Remarks(
        problems=_by_field(new),
        findings={
            "materials": tuple(each for each in findings if each.item),
            WORDS: tuple(each for each in findings if not each.item),
        },
        unknown=unknown_materials(values, book),
        alike=likely_duplicates(card, shelf().index.view) if card else (),
        preview=_preview(card, cautions) if card and cautions else None,
    )


def unknown_materials(values: Mapping[str, Plain], book: MaterialBook) -> tuple[Unknown, ...]:
    """The typed materials that the library does not know, each once; also before there is a card."""
    said = {each.item.casefold(): each for each in new_materials(values)}
    names = [material.item for material in book]
    items = dict.fromkeys(typed_items(values))
    return tuple(
        Unknown(
            said.get(item.casefold(), NewMaterial(item, "", "")),
            tuple(difflib.get_close_matches(item.lower(), names, n=2, cutoff=0.75)),
        )
        for item in items
        if book.find(item) is None and "{{" not in item
    )


def material_problems(unknown: Iterable[Unknown], before: Container[str]) -> list[Problem]:
    """What is still to be said of materials that the library does not know.

    Args:
        unknown: The materials.
        before: Names that the card had before; nothing has to be said of these.
    """
    found = []
    for number, each in enumerate(unknown):
        said = each.said
        if said.item in before and not (said.kind or said.loose):
            continue
        label = wrong_about_label(said.label, said.allergens)
        for name, value, ask in (
            ("kind", said.kind, "say how it is used up"),
            ("loose", said.loose, "say whether a child can pick up a piece of it"),
            ("label", not label, label),
        ):
            if not value:
                found.append(
                    Problem("", 0, f"new[{number}].{name}", f"{said.item} is new here", ask)
                )
        if said.shape:
            try:
                parse_shape(said.shape)
            except Unreadable as error:
                found.append(error.at(f"new[{number}].shape"))
    return found


def with_new(book: MaterialBook, values: Mapping[str, Plain]) -> MaterialBook:
    """The library's materials and those that the form describes, so that these are looked at too."""
    new = [
        Material(
            item=each.item,
            kind=Kind(each.kind),
            loose=each.loose == "yes",
            shape=each.shape or None,
            allergens=each.allergens,
            label_read=each.label_read,
        )
        for each in new_materials(values)
        if book.find(each.item) is None and each.kind and each.loose
    ]
    return replace(book, materials=(*book.materials, *new))


def _dressed(card: Card) -> Card:
    return dress(card, None).card


def _by_field(problems: Iterable[Problem]) -> dict[str, tuple[Problem, ...]]:
    found: dict[str, tuple[Problem, ...]] = {}
    for problem in problems:
        name = problem.field.partition("[")[0].partition(".")[0]
        found[name] = (*found.get(name, ()), problem)
    return found


def _preview(card: Card, cautions: CardCautions) -> Preview:
    room = shelf().room()
    children = len(room.children) if room and room.children else CHILDREN
    dressed = _dressed(card)
    sections = split_sections(dressed.body)
    return Preview(
        card=dressed,
        facts=facts(dressed),
        portions=portions(dressed, children=children, adults=room.adults if room else ADULTS),
        children=children,
        sections=tuple(sections[1:] if sections and not sections[0].heading else sections),
        cautions=cautions,
    )
