"""A card as a form: what was typed, and the card it makes."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import replace

from werkzeug.datastructures import MultiDict

from library.cards.card import Card
from library.cards.checking import PROP
from library.cards.folder import ReadCard
from library.cards.parsing import Parsed
from library.cards.parts import change_parts, usual_parts
from library.cards.rendering import Section
from library.cards.typed import card_from_typed, typed_fields
from library.cards.values import Adult, Place, Refresh, Season, When, read_ages
from library.materials.adding import LABEL, NewMaterial
from library.materials.material import Kind
from library.search.conditions import OLDEST_MONTHS
from library.search.drafting import Draft
from library.store.problems import Problem
from library.store.yamltext import Plain
from library.units.dressing import fill
from server.forms import Filled, Rows, as_text, read_rows, read_text, split_commas

MATERIALS = Rows("materials", ("item", "amount"), chosen=("refresh",))
STEPS = Rows("steps", ("do", "minutes"), chosen=("on",), ticked=("away",))
PROPS = Rows("props", ("name", "word"))
NEW = Rows("new", ("item", "kind", "loose", "shape"), chosen=("label",), ticked=("allergens",))
SPANISH = ("title", "summary", "read_by")
LINES = ("title", "ages", "prep", "wait", "keeps", "runs", "group", "technique", "by")
"""Fields of one line."""
CHOICES = ("adult", "mess", "place")
USUAL_AGES = "24-42"
"""What a new card begins with: the ages of the rooms that this library is for."""
USUAL_GROUP = "1-4"
"""What a new card begins with: as many as one adult can reach around a table."""


def blank_values() -> dict[str, Plain]:
    """What the form of a new card begins with."""
    return {
        "ages": USUAL_AGES,
        "group": USUAL_GROUP,
        "adult": Adult.WITHIN_REACH.value,
        "place": Place.EITHER.value,
        "mess": "0",
        "parts": _part_rows(""),
    }


def card_values(read: ReadCard) -> dict[str, Plain]:
    """What a card holds, as one would type it."""
    values = typed_fields(read.card, read.text)
    for name in ("centers", "seasons", "domains"):
        value = values.get(name)
        values[name] = split_commas(value) if isinstance(value, str) else value
    props = values.get("props")
    if isinstance(props, dict):
        values["props"] = [{"name": name, "word": word} for name, word in props.items()]
    for row in _rows(values, "steps"):
        row["away"] = ["yes"] if row.get("away") in ("true", "yes") else []
    values["parts"] = _part_rows(read.card.body)
    return values


def copied_values(read: ReadCard) -> dict[str, Plain]:
    """What a new card takes from one that is like it: all but its name, its writer and its pictures."""
    left_out = {"title", "by", "photos", "es", "status"}
    return {name: value for name, value in card_values(read).items() if name not in left_out}


def drafted_values(draft: Draft) -> dict[str, Plain]:
    """What a new card takes from a few lines.

    Ages that were said without an end ("from two years on") go no further than the rooms here, and
    stay empty where they begin beyond these.
    """
    parts: list[Plain] = [
        {**row, "text": draft.summary if not row["heading"] else draft.what_to_do}
        if row["heading"] in ("", "Set up")
        else row
        for row in _rows({"parts": _part_rows("")}, "parts")
    ]
    ages = {"ages": _ended(draft)} if is_endless(draft) else {}
    return {**blank_values(), **draft.fields, **ages, "title": draft.title, "parts": parts}


def is_endless(draft: Draft) -> bool:
    """Whether ages were said without an end."""
    return as_text(draft.fields.get("ages")).endswith(f"-{OLDEST_MONTHS}")


def _ended(draft: Draft) -> str:
    low, usual = read_ages(as_text(draft.fields["ages"])).low, read_ages(USUAL_AGES)
    return str(replace(usual, low=low)) if usual.holds(low) else ""


def read_card_form(form: MultiDict[str, str]) -> dict[str, Plain]:
    """What was typed into the form of a card; line ends as files have them."""
    unix = MultiDict((name, text.replace("\r\n", "\n")) for name, text in form.items(multi=True))
    values: dict[str, Plain] = {
        name: " ".join(read_text(unix, name).split()) for name in (*LINES, *CHOICES)
    }
    values["centers"] = list(dict.fromkeys(filter(None, unix.getlist("centers"))))
    values["seasons"] = [each.value for each in Season if each.value in unix.getlist("seasons")]
    values["domains"] = split_commas(read_text(unix, "domains"))
    values["es"] = {key: read_text(unix, f"es.{key}") for key in SPANISH}
    for rows in (MATERIALS, STEPS, PROPS, NEW):
        values[rows.key] = list(read_rows(unix, rows))
    values["parts"] = _read_parts(unix)
    return values


def parsed_form(values: Mapping[str, Plain], file: str, before: Card | None = None) -> Parsed:
    """The card that a form makes, with everything that cannot be read.

    Args:
        values: What was typed.
        file: Path of the card's file within the library folder.
        before: The card as it is; what the form does not ask for stays as it is there.
    """
    filled = Filled(dict(values))
    fields: dict[str, Plain] = {name: filled.text(name) for name in (*LINES, *CHOICES)}
    centers, seasons = filled.several("centers"), filled.several("seasons")
    if before:  # boxes come in the order of the page; the file keeps its own
        centers = [*centers[:1], *_in_order(centers[1:], before.centers)]
        seasons = _in_order(seasons, [each.value for each in before.seasons])
    fields |= {"centers": list(centers), "seasons": list(seasons)}
    fields["domains"] = list(filled.several("domains"))
    fields["materials"] = [
        {name: each for name, each in row.items() if each} for row in _rows(values, "materials")
    ]
    fields["steps"] = [
        {**row, "away": "true" if row.get("away") else "false"} for row in _rows(values, "steps")
    ]
    props = {as_text(row.get("name")): as_text(row.get("word")) for row in _rows(values, "props")}
    old = set(before.props) if before else set()
    fields["props"] = {name: word for name, word in props.items() if name in old or is_prop(name)}
    spanish = values.get("es")
    if isinstance(spanish, dict) and any(spanish.values()):
        fields["es"] = spanish
    fields["status"] = before.status.value if before else "draft"
    fields["photos"] = list(before.photos) if before else []
    parsed = card_from_typed(fields, body_of(values, before.body if before else ""), file)
    return Parsed(parsed.card, (*parsed.problems, *_prop_problems(values, old)))


def is_prop(name: str) -> bool:
    """Whether a text can stand between double braces as the name of a prop."""
    return PROP.fullmatch("{{" + name + "}}") is not None and name == name.strip()


def _prop_problems(values: Mapping[str, Plain], old: Container[str]) -> list[Problem]:
    """Names of props that no text could use; those that the file has already may stay."""
    fix = "write small letters, digits and hyphens, as between the double braces"
    return [
        Problem("", 0, f"props[{number}].name", f"found '{name[:40]}' as a word to swap", fix)
        for number, row in enumerate(_rows(values, "props"))
        if (name := as_text(row.get("name"))) not in old and not is_prop(name)
    ]


def body_of(values: Mapping[str, Plain], before: str) -> str:
    """The body that a form makes; parts that stay as they were keep their bytes."""
    parts = [
        Section(as_text(row.get("heading")), as_text(row.get("text")))
        for row in _rows(values, "parts")
    ]
    return change_parts(before, parts)


def new_materials(values: Mapping[str, Plain]) -> tuple[NewMaterial, ...]:
    """What was said of materials that the library does not know."""
    return tuple(
        NewMaterial(
            item=as_text(row.get("item")),
            kind=_one_of(row.get("kind"), *Kind),
            loose=_one_of(row.get("loose"), "yes", "no"),
            shape=as_text(row.get("shape")),
            allergens=tuple(Filled(row).several("allergens")),
            label=_one_of(row.get("label"), *LABEL),
        )
        for row in _rows(values, "new")
    )


def typed_items(values: Mapping[str, Plain]) -> list[str]:
    """The materials that were typed, with the words that stand for what a theme may swap."""
    words = {as_text(row.get("name")): as_text(row.get("word")) for row in _rows(values, "props")}
    known = {name: word for name, word in words.items() if word}
    items = (as_text(row.get("item")) for row in _rows(values, "materials"))
    return [" ".join(fill(item, known).split()) for item in items if item]


def typed_texts(values: Mapping[str, Plain]) -> dict[str, str]:
    """Every text of the form that can hold a name, by the name of its field."""
    filled = Filled(dict(values))
    found = {name: filled.text(name) for name in ("title", "technique", "by")}
    spanish = values.get("es")
    if isinstance(spanish, dict):
        found |= {f"es.{name}": as_text(text) for name, text in spanish.items()}
    for key, names in (
        ("materials", MATERIALS.texts),
        ("steps", ("do",)),
        ("props", PROPS.texts),
        ("new", ("item",)),
        ("parts", ("heading", "text")),
    ):
        for number, row in enumerate(_rows(values, key)):
            found |= {f"{key}[{number}].{name}": as_text(row.get(name)) for name in names}
    return {name: text for name, text in found.items() if text}


def choices() -> dict[str, list[str]]:
    """The values of every field that has only some."""
    return {
        "adult": [each.value for each in Adult],
        "place": [each.value for each in Place],
        "refresh": [each.value for each in Refresh],
        "on": [each.value for each in When],
        "seasons": [each.value for each in Season],
        "kind": [each.value for each in Kind],
    }


def _part_rows(body: str) -> list[Plain]:
    return [{"heading": part.heading, "text": part.text} for part in usual_parts(body)]


def _read_parts(form: MultiDict[str, str]) -> list[Plain]:
    """The parts of the body in the form's order; an empty one stays, so that it can be filled."""
    count = len([name for name in form if name.startswith("parts[") and name.endswith("].text")])
    found: list[Plain] = []
    for number in range(min(count, 60)):
        name = f"parts[{number}]"
        heading = " ".join(read_text(form, f"{name}.heading").split())
        found.append({"heading": heading, "text": form.get(f"{name}.text", "").strip()})
    return [*found, *_part_rows("")[len(found) :]]  # a form that was cut short still shows


def _rows(values: Mapping[str, Plain], key: str) -> list[dict[str, Plain]]:
    value = values.get(key)
    return [row for row in value if isinstance(row, dict)] if isinstance(value, list) else []


def _one_of(value: Plain, *known: str) -> str:
    """The value if it is one of those known; else nothing."""
    return next((each for each in known if each == value), "")


def _in_order(values: list[str], order: Sequence[str]) -> list[str]:
    """The values, those that stand in an order first and in that order."""
    return sorted(values, key=lambda each: order.index(each) if each in order else len(order))
