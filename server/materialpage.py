"""Gathers what the pages of materials show: sizes, bins, what is unmeasured, what the checks say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from library.materials.adding import wrong_about_label
from library.materials.allergens import tidy
from library.materials.material import Kind, Material, MaterialBook, name_key
from library.materials.measuring import Measured
from library.materials.shapes import Ball, describe, parse_shape
from library.room.room import Room, rule_age_in_months
from library.safety.allergens import EU_FOURTEEN, LabelRow, label_row, label_to_read
from library.safety.checks import CARD_CHECKS, caution, nothing_found
from library.safety.judging import material_findings, to_measure_first
from library.safety.pieces import known_shape, what_to_measure
from library.search.conditions import Conditions
from library.search.searching import Hit, search
from library.store.atomic import fingerprint
from library.store.errors import NotFound
from library.store.paths import make_id
from library.store.problems import Problem, Unreadable
from server.cautions import Drawn, ShownCaution, drawings_of, identify, show_cautions
from server.forms import Filled
from server.shelf import shelf

YOUNGEST = 24
"""Months for which a material is judged where no child is listed: two-year-olds begin here."""
UNKNOWN = "cards name it, and nobody has described it yet"
"""Why something that only cards name has to be measured (PART3)."""
WHY_NOT_LOOSE = (
    "a liquid or a powder",
    "a sheet or a book",
    "fixed in place",
    "too large to lift",
    "only in an adult's hands",
)
"""Why a child cannot pick something up; no check looks at its size then."""
MOST_CARDS = 500
"""Cards listed that use a material."""


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """A material in the list."""

    id: str
    material: Material
    size: str
    """Its size in words; empty where it has none."""
    bins: tuple[str, ...]
    measure: str | None
    """What has to be measured, and why; None: nothing."""
    to_read: str | None
    """Why its label has to be read; None: it has not."""


@dataclass(frozen=True, slots=True)
class MaterialsPage:
    """The list of materials."""

    unmeasured: tuple[MaterialLine, ...]
    """What nobody has described at all, then what has no size."""
    measured: tuple[MaterialLine, ...]
    room: Room | None
    asked: str
    """Words that the names were looked through for."""
    total: int
    """All materials of the library."""
    reads_eu: bool
    """Whether the European Union's list of allergens is read too."""
    lists_mark: str
    """Fingerprint of the file that says so; empty where there is none."""


@dataclass(frozen=True, slots=True)
class Typed:
    """The form in which a material is measured, as it was typed."""

    shape: str
    loose: str
    """yes, no, or empty where that is not stated."""
    soft: bool
    kind: str
    why: str = ""
    """Why it is no loose piece, one of ``WHY_NOT_LOOSE``."""


@dataclass(frozen=True, slots=True)
class TypedLabel:
    """The form in which stands what a label names, as it was typed."""

    answer: str
    """One of ``LABEL``; empty: not answered."""
    ticked: tuple[str, ...]
    other: str = ""
    """What it names besides, with commas between."""

    @property
    def named(self) -> tuple[str, ...]:
        """Everything that it names, each once."""
        return tuple(dict.fromkeys((*self.ticked, *filter(None, map(tidy, self.other.split(","))))))


@dataclass(frozen=True, slots=True)
class Lies:
    """Where some of a material lies."""

    amount: str
    bin: str


@dataclass(frozen=True, slots=True)
class MaterialPage:
    """One material."""

    line: MaterialLine
    drawings: tuple[Drawn, ...]
    """The piece in the cylinder, once for each reading of its size; a ball at the hole first."""
    cautions: tuple[ShownCaution, ...]
    nothing_found: str
    caution: str
    youngest: int
    """Months for which it is judged."""
    is_ball: bool
    """Whether it is a ball, which the small-ball hole judges."""
    for_room: bool
    """Whether that is the youngest child of the room, as under-age rules count."""
    label: LabelRow | None
    """What things of this name may hold, by the published chart."""
    room: Room | None
    lies: tuple[Lies, ...]
    cards: tuple[Hit, ...]
    is_new: bool
    """Whether cards name it and the file of materials does not."""
    fingerprint: str
    """Of the file of materials."""
    typed: Typed
    wrong: str
    """Why what was typed could not be written down; empty: nothing was typed yet, or it was."""
    label_form: Filled
    """What was typed of its label, and what is wrong with it."""
    typed_label: TypedLabel
    allergens: tuple[str, ...]
    """What a label may name, to tick."""

    @property
    def material(self) -> Material:
        """The material."""
        return self.line.material


def materials_page(asked: str) -> MaterialsPage:
    """Every material whose names hold what was asked for, those to be measured first."""
    book, room = shelf().materials(), shelf().room()
    wanted = name_key(asked)
    told = to_measure_first(
        material for material in book if any(wanted in name_key(name) for name in material.names)
    )
    bins = _bins(room, book)
    lines = [_line(material, measure, bins) for material, measure in told]
    unknown = [_line(each, UNKNOWN, bins) for each in _unknown() if wanted in name_key(each.item)]
    return MaterialsPage(
        unmeasured=(*unknown, *(line for line in lines if line.measure)),
        measured=tuple(line for line in lines if not line.measure),
        room=room,
        asked=asked,
        total=len(book),
        reads_eu=book.eu,
        lists_mark=lists_mark(),
    )


def lists_mark() -> str:
    """The fingerprint of the file of allergen lists; empty where there is none."""
    path = shelf().paths.activities / "allergens.yaml"
    return fingerprint(path.read_bytes()) if path.is_file() else ""


def measured_of(typed: Typed) -> Measured:
    """What was typed, read.

    Raises:
        Unreadable: If it is not said whether it is a loose piece or why not, or the size is missing
            or no size.
    """
    if typed.loose not in {"yes", "no"}:
        raise Unreadable(
            typed.loose, "whether a child can pick it up by itself", "choose yes or no"
        )
    if typed.loose == "no" and typed.why not in WHY_NOT_LOOSE:
        raise Unreadable(typed.why, "why it is no loose piece", "choose one of the reasons")
    if typed.shape or typed.loose == "yes":
        parse_shape(typed.shape)
    kind = Kind(typed.kind) if typed.kind in list(Kind) else Kind.DURABLE
    return Measured(typed.loose == "yes", typed.shape, typed.soft, kind)


def label_of(typed: TypedLabel) -> tuple[str, ...] | None:
    """What was typed of a label, read; None: nobody has read it.

    Raises:
        Unreadable: If it is not answered, or the answer does not fit what is ticked or written.
    """
    wrong = wrong_about_label(typed.answer, typed.named)
    if wrong:
        raise Unreadable(typed.answer, "what its label names", wrong)
    return None if typed.answer == "unread" else typed.named


def find_material(name: str) -> Material:
    """The material of a page, singular or plural; one that only cards name has nothing but its name.

    Raises:
        NotFound: If neither the file of materials nor any card has it.
    """
    by_id = identify((*_unknown(), *shelf().materials()))
    material = by_id.get(name) or by_id.get(make_id(name_key(name.replace("-", " "))))
    if material is None:
        raise NotFound(f"there is no material '{name[:60]}' in this library")
    return material


def material_page(
    name: str,
    typed: Typed | None = None,
    wrong: str = "",
    label: TypedLabel | None = None,
    label_wrong: str = "",
) -> MaterialPage:
    """One material, judged for the youngest child of the room.

    Args:
        name: As the address has it.
        typed: What was typed into the form for its size; None: what the file says.
        wrong: Why it could not be written down.
        label: What was typed into the form for its label; None: what the file says.
        label_wrong: Why that could not be written down.

    Raises:
        NotFound: If no material has this name.
    """
    here = shelf()
    book, room, today = here.materials(), here.room(), dt.date.today()
    material = find_material(name)
    is_new = book.find(material.item) is None
    ages = [rule_age_in_months(child.born, today) for child in room.staying(today)] if room else []
    youngest = min(ages, default=YOUNGEST)
    measure = UNKNOWN if is_new else what_to_measure(material)
    hits = search(here.index.view, Conditions(with_=((material.item,),)), limit=MOST_CARDS).hits
    return MaterialPage(
        line=_line(material, measure, _bins(room, book)),
        drawings=drawings_of(material, "drawn"),
        cautions=show_cautions(
            () if is_new else material_findings(material, youngest), MaterialBook(), room, today
        ),
        nothing_found=nothing_found(CARD_CHECKS),
        caution=caution(),
        youngest=youngest,
        is_ball=isinstance(known_shape(material), Ball),
        for_room=bool(ages),
        label=next(filter(None, map(label_row, material.names)), None),
        room=room,
        lies=_lies(room, book, material),
        cards=tuple(sorted(hits, key=lambda hit: hit.card.title.casefold())),
        is_new=is_new,
        fingerprint=here.cards.materials_fingerprint(),
        typed=typed or _as_typed(material),
        wrong=wrong,
        label_form=Filled({}, (Problem("", 0, "label", "", label_wrong),) if label_wrong else ()),
        typed_label=label or _label_as_typed(material),
        allergens=tuple(dict.fromkeys((*here.vocabulary().allergens, *(EU_FOURTEEN * book.eu)))),
    )


def _as_typed(material: Material) -> Typed:
    loose = "" if material.loose is None else "yes" if material.loose else "no"
    return Typed(material.shape or "", loose, material.soft, material.kind.value)


def _label_as_typed(material: Material) -> TypedLabel:
    answers = {True: "none", False: "unread", None: ""}
    answer = "names" if material.allergens else answers[material.label_read]
    return TypedLabel(answer, material.allergens)


def _unknown() -> tuple[Material, ...]:
    """What cards name and the file of materials does not, by name alone."""
    book = shelf().materials()
    named = {name for part in shelf().index.view.parts for name in part.arrays.values("materials")}
    return tuple(Material(name) for name in sorted(named) if book.find(name) is None)


def _line(
    material: Material, measure: str | None, bins: Mapping[str, tuple[str, ...]]
) -> MaterialLine:
    shape = known_shape(material)
    return MaterialLine(
        id=make_id(material.item),
        material=material,
        size=describe(shape) if shape else "",
        bins=bins.get(name_key(material.item), ()),
        measure=measure,
        to_read=label_to_read(material),
    )


def _bins(room: Room | None, book: MaterialBook) -> dict[str, tuple[str, ...]]:
    """The bins of each material, once each, by the key of its main name."""
    found: dict[str, dict[str, None]] = {}
    for line in room.stock if room else ():
        if line.bin:
            found.setdefault(name_key(book.main_name(line.item)), {})[line.bin] = None
    return {name: tuple(bins) for name, bins in found.items()}


def _lies(room: Room | None, book: MaterialBook, material: Material) -> tuple[Lies, ...]:
    key = name_key(material.item)
    return tuple(
        Lies(str(line.amount), line.bin)
        for line in (room.stock if room else ())
        if name_key(book.main_name(line.item)) == key
    )
