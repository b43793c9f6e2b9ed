"""What pages show beside a finding: the drawing of a small part, and what the room has decided."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from library.cards.card import Card
from library.materials.allergens import name_of
from library.materials.material import Material, MaterialBook
from library.materials.shapes import Ball
from library.room.room import Policy, Room
from library.safety.allergens import EU_FOURTEEN, perhaps_meant, unmatched_allergens
from library.safety.checks import CARD_CHECKS, card_findings, caution, nothing_found
from library.safety.drawing import draw, draw_at_hole
from library.safety.judging import Judged, pieces_to_draw
from library.safety.policies import (
    Weighed,
    asks_again,
    asks_again_on,
    decided_by,
    may_decide_about,
    policy_about,
    weigh,
)
from library.safety.small_parts import through_hole
from library.store.paths import make_id
from library.units.findings import Finding
from server.forms import mark_of

ABOUT: Mapping[str, str] = {
    "adults": "adults needed at once",
    "age": "ages of the activities",
    "closed": "closed days",
    "coverage": "goals without an activity",
    "durable": "too little on the shelf",
    "order": "late orders",
    "ratio": "ratio and group size",
    "repeat": "the same work of the hands",
    "water": "water play",
    "aerosol": "spray cans",
    "animal": "animals",
    "balloon": "balloons",
    "button-cell": "button batteries",
    "choking-food": "food that chokes",
    "coin": "coins",
    "cord": "cords",
    "foam-block": "foam blocks",
    "heat": "hot things",
    "latex-glove": "latex gloves",
    "loose-fill": "loose fill, such as rice",
    "magnet": "magnets",
    "marble": "marbles",
    "neckwear": "things around the neck",
    "permanent-marker": "permanent markers",
    "plastic-bag": "plastic bags",
    "powder": "powders",
    "safety-pin": "safety pins",
    "screen": "screens",
    "sharp": "sharp things",
    "solvent": "solvents",
    "tack": "tacks",
    "toxic-plant": "poisonous plants",
    "unlabelled-art": "unlabelled art materials",
}
"""Kind of finding or key of a hazard → what a page calls it where its key is no plain word."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing of a thing where it is judged."""

    svg: Markup
    where: str
    """In the cylinder, or at the hole."""
    says: str
    """What it shows, in a sentence or two."""
    judged: Judged | None = None
    """The reading of its size that is drawn in the cylinder."""


@dataclass(frozen=True, slots=True)
class Decision:
    """What a room may decide about a finding, and what it has decided."""

    about: str
    """Kind of finding, or key of a hazard."""
    room: str
    policy: Policy | None
    """The latest; None: nothing is written down."""
    asks_again: dt.date | None
    """The day on which it no longer folds anything, if no younger child comes before."""
    asks_now: str
    """Why it folds nothing any more; empty while it does, and where nothing is written down."""
    would_ask: dt.date
    """When it would ask again, if it were decided anew today."""
    mark: str
    """Of what was written down when the page was made."""


@dataclass(frozen=True, slots=True)
class ShownCaution:
    """One finding of a card."""

    weighed: Weighed
    drawings: tuple[Drawn, ...]
    decision: Decision | None

    @property
    def finding(self) -> Finding:
        """The finding itself."""
        return self.weighed.finding


@dataclass(frozen=True, slots=True)
class CardCautions:
    """What the checks say of a card by itself, ready for a page."""

    shown: tuple[ShownCaution, ...]
    nothing_found: str
    """Said where no check found anything."""
    caution: str


@dataclass(frozen=True, slots=True)
class NotMatched:
    """Allergens that are written for children and that nothing in the library names."""

    names: tuple[str, ...]
    in_eu: tuple[str, ...]
    """Those of them that the European Union's list has, where the library does not read it."""
    meant: tuple[tuple[str, str], ...]
    """Those of them that are nearly a known name, each with what may have been meant."""


def card_cautions(
    card: Card, book: MaterialBook, room: Room | None, today: dt.date
) -> CardCautions:
    """The findings of a card by itself, judged for the youngest age it names.

    Args:
        card: As the children meet it, saved or not.
        book: What its materials are like.
        room: Whose policies stand beside the findings; None: nobody's.
        today: The day on which it is asked.
    """
    found = card_findings(card, book)
    return CardCautions(
        shown=show_cautions(found, book, room, today),
        nothing_found=nothing_found(CARD_CHECKS),
        caution=caution(),
    )


def show_cautions(
    findings: Iterable[Finding], book: MaterialBook, room: Room | None, today: dt.date
) -> tuple[ShownCaution, ...]:
    """Findings with their drawings and decisions, in the order given."""
    weighed = weigh(findings, room, today)
    return tuple(
        ShownCaution(
            each,
            drawings_for(each.finding, book, f"drawn-{number}"),
            decision_about(each.finding, room),
        )
        for number, each in enumerate(weighed)
    )


def drawings_for(finding: Finding, book: MaterialBook, ident: str) -> tuple[Drawn, ...]:
    """The drawing for a finding on a small part or ball whose size is known; the reading that decides.

    Args:
        finding: The finding.
        book: What materials are like.
        ident: Start of the drawing's ids; different for each finding on a page.
    """
    kind = finding.kind
    material = book.find(finding.item) if kind in {"small-part", "ball"} and finding.item else None
    if material is None:
        return ()
    if kind == "ball":
        return _at_hole(material, ident)
    drawn = _in_cylinder(material, ident)
    return tuple(each for each in drawn if each.judged and each.judged.decides)[:1]


def drawings_of(material: Material, ident: str) -> tuple[Drawn, ...]:
    """A loose ball at the hole, and any loose piece in the cylinder, once for each reading of its size."""
    return (*_at_hole(material, ident), *_in_cylinder(material, ident))


def _at_hole(material: Material, ident: str) -> tuple[Drawn, ...]:
    return tuple(
        Drawn(
            Markup(draw_at_hole(piece.shape, material.item, f"{ident}-hole")),  # nosec B704 - as below
            "at the small-ball hole",
            f"It {through_hole(piece.shape)}.",
        )
        for piece in pieces_to_draw(material)
        if isinstance(piece.shape, Ball)
    )


def _in_cylinder(material: Material, ident: str) -> tuple[Drawn, ...]:
    return tuple(
        Drawn(
            Markup(  # nosec B704 - drawn by us; the name in it is escaped there
                draw(judged.shape, material.item, f"{ident}-{number}", soft=material.soft)
            ),
            "in the small-parts cylinder",
            _in_cylinder_in_words(judged, soft=material.soft),
            judged,
        )
        for number, judged in enumerate(pieces_to_draw(material))
    )


def _in_cylinder_in_words(judged: Judged, *, soft: bool) -> str:
    found = judged.fit
    if soft and not found.is_small_part:
        return (
            f"As it is, it {found.in_words()}. It is soft, so a person squeezes one into a tester; "
            "no drawing can say that."
        )
    return f"It {found.in_words()}."


def not_matched(room: Room | None, book: MaterialBook) -> NotMatched | None:
    """Allergens of a room's children that no check can find; None where every one has a name known."""
    names = unmatched_allergens(room.children, book) if room else ()
    if not names:
        return None
    in_eu = () if book.eu else tuple(name for name in names if name in EU_FOURTEEN)
    near = ((name, perhaps_meant(name, book)) for name in names if name not in in_eu)
    meant = tuple((name, " or ".join(map(name_of, found))) for name, found in near if found)
    return NotMatched(names, in_eu, meant)


def decision_about(finding: Finding, room: Room | None) -> Decision | None:
    """What may be decided about a finding; None where no policy can fold it or there is no room."""
    about = decided_by(finding)
    return decision(about, room) if about and room else None


def decision(about: str, room: Room) -> Decision:
    """What a room has decided about a kind of finding or a hazard."""
    made = [policy for policy in room.policies if policy.kind == about]
    latest, today = policy_about(about, room), dt.date.today()
    return Decision(
        about=about,
        room=room.name,
        policy=latest,
        asks_again=asks_again_on(latest) if latest else None,
        asks_now=asks_again(latest, room, today) if latest else "",
        would_ask=asks_again_on(Policy(about, "", "", today)),
        mark=mark_of([(policy.note, policy.by, policy.on) for policy in made]),
    )


def title_of(about: str) -> str:
    """What a page calls what was decided about."""
    return ABOUT.get(about) or about.replace("-", " ")


def may_be_decided() -> tuple[tuple[str, str], ...]:
    """Everything that a room may decide about, with what a page calls it, in order of these words."""
    named = ((about, title_of(about)) for about in may_decide_about())
    return tuple(sorted(named, key=lambda each: each[1]))


def identify(materials: Iterable[Material]) -> Mapping[str, Material]:
    """Each material by the name that its page has in an address."""
    return {make_id(material.item): material for material in materials}
