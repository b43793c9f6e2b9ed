"""Writing cards: a new one, and a changed one, in one form made from the catalogue of fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from library.cards.card import Card
from library.cards.comparing import compare_cards, in_words
from library.cards.folder import ReadCard
from library.cards.merging import merge_cards
from library.cards.parsing import Parsed, change_card, parse_card
from library.cards.values import read_ages
from library.search.drafting import draft_card
from library.search.question import read_question
from library.search.unplaced import not_understood
from library.store.errors import Invalid, NotFound, StaleFile, WrongUse
from library.store.paths import make_id
from library.store.problems import Problem
from library.store.yamltext import Plain
from server.cardforms import (
    USUAL_AGES,
    blank_values,
    card_values,
    choices,
    copied_values,
    drafted_values,
    is_endless,
    parsed_form,
    read_card_form,
    typed_texts,
)
from server.cardpage import Remarks, material_problems, remarks_on, unknown_materials
from server.cardwords import in_form_words
from server.forms import Filled, without_row
from server.known import known_to_cards
from server.links import reachable_id
from server.mergepage import Three, choices_of, picks
from server.naming import ask_about, ask_about_choice, labels_named, named_children
from server.shelf import shelf
from server.visitors import visitor, who_saves

bp = Blueprint("writing", __name__, url_prefix="/activities")
NEW_FILE = "activities/new-card.md"
"""Under this name a card is read before it has a title."""
MATERIALS = "activities/materials.yaml"


UPPER = ("title", "centers", "ages", "prep", "group", "materials", "new")
"""Fields above the fold of everything else, in the order of the page."""


@dataclass(frozen=True, slots=True)
class Writing:
    """A card that is being written."""

    form: Filled
    parsed: Parsed
    card: Card | None = None
    """The card as it is; None for a new one."""
    start: str = ""
    """What a new card began with, in words."""
    lines: str = ""
    """The few lines that it was read from."""
    not_understood: tuple[str, ...] = ()
    """Things that these name and that came into no field."""
    ask_alike: bool = False
    """Whether to ask whether it is one of the cards that are like it."""


@bp.get("/new")
def new() -> str:
    """An empty card to fill, or one that begins as a card that is like it."""
    values, start = blank_values(), ""
    if source := request.args.get("from"):
        read = shelf().cards.read(source)
        values = {**blank_values(), **copied_values(read)}
        start = f"It begins as a copy of {read.card.title}. Give it a name of its own."
    return _page(Writing(Filled(values), parsed_form(values, NEW_FILE), start=start))


@bp.post("/new")
def create() -> ResponseReturnValue:
    """Writes a new card as a draft, or shows what it would be."""
    if "read" in request.form:
        return _read_lines(request.form.get("lines", ""))
    values = read_card_form(request.form)
    card_id = reachable_id(make_id(str(values["title"] or "new-card")), "card")
    writing = Writing(Filled(values), parsed_form(values, f"activities/{card_id}.md"))
    if (shown := _only_shown(writing)) is not None:
        return shown
    problems = _blocking(writing)
    if values["title"] and shelf().cards.exists(card_id):
        fix = "there is a card of this name already: write another name, or change that card"
        problems.append(Problem("", 0, "title", f"'{values['title']}' is taken", fix))
    card = writing.parsed.card
    if problems or card is None:
        return _page(_refused(writing, problems)), 422
    if _alike_to_look_at(writing):
        return _page(replace(writing, ask_alike=True)), 422
    if asked := named_children(request.form, typed_texts(values)):
        return ask_about(asked, url_for("find.index"))
    files = _add_materials(writing)
    made = shelf().cards.create(card)
    _keep([made.file, *files], f"{card.id}: written")
    flash("Kept as a draft. A draft shows nowhere but here and on Review until it is marked ready.")
    return redirect(url_for("activities.show", card_id=card.id), 303)


@bp.get("/<card_id>/edit")
def edit(card_id: str) -> ResponseReturnValue:
    """A card to be changed; one that cannot be read is mended as text."""
    try:
        read = shelf().cards.read(card_id)
    except Invalid:
        return redirect(url_for("plainfile.show", card_id=card_id), 303)
    values = card_values(read)
    parsed = Parsed(read.card, read.card.problems)
    return _page(Writing(Filled(values, marks=_marks(read)), parsed, read.card))


@bp.post("/<card_id>/edit")
def update(card_id: str) -> ResponseReturnValue:
    """Saves a changed card; only the lines of what changed are written."""
    read = _as_it_is(card_id)
    base = _base(read)
    if base is None:
        return _page_of_lost(), 409
    file = read.card.file if read else base.card.file
    values = read_card_form(request.form)
    marks = {"fingerprint": base.fingerprint, "base": base.text}
    parsed = parsed_form(values, file, base.card)
    writing = Writing(Filled(values, marks=marks), parsed, base.card)
    if (shown := _only_shown(writing)) is not None:
        return shown
    problems = _blocking(writing)
    card = parsed.card
    if problems or card is None:
        return _page(_refused(writing, problems)), 422
    before = typed_texts(card_values(base)).values()
    if asked := named_children(request.form, typed_texts(values), before):
        return ask_about(asked, url_for("activities.show", card_id=card_id))
    if read is None:
        return _page_of_lost(), 409
    files = _add_materials(writing)
    if read.fingerprint != base.fingerprint:
        _keep(files, f"{card_id}: materials added")
        mine = change_card(base.text, card)
        return _merge_page(read.card, Three(base.text, mine, read.text, read.fingerprint)), 409
    try:
        shelf().cards.update(card, expected=base.fingerprint)
    except StaleFile:  # between reading and writing: look at it again, with their version in hand
        return update(card_id)
    note = in_words(compare_cards(read.card, card)) or "looked at"
    _keep([read.card.file, *files], f"{card_id}: {note}")
    return redirect(url_for("activities.show", card_id=card_id), 303)


@bp.post("/<card_id>/merge")
def merge(card_id: str) -> ResponseReturnValue:
    """Saves one card of two versions, by what was chosen for each piece."""
    read = shelf().cards.read(card_id)
    texts = {name: _text_of(name) for name in ("base", "mine", "theirs")}
    three = Three(**texts, fingerprint=request.form.get("fingerprint", ""))
    cards = three.cards(read.card.file)
    if cards is None:
        return _merge_page(read.card, replace(three, base=read.text, theirs=read.text)), 422
    try:
        merged = merge_cards(*cards, picks(cards, request.form))
    except WrongUse:
        return _merge_page(read.card, three, missing=True), 422
    if read.fingerprint != three.fingerprint:
        mine = change_card(three.theirs, merged)
        return _merge_page(read.card, Three(three.theirs, mine, read.text, read.fingerprint)), 409
    if asked := _named_in_merge(merged, read):
        if "again" in request.form:
            return _merge_page(read.card, three, picked=request.form)
        return ask_about_choice(asked, url_for("activities.show", card_id=card_id))
    # whether it is ready is decided on Review, by another person, and not between two texts
    merged = replace(merged, file=read.card.file, status=read.card.status)
    shelf().cards.update(merged, expected=read.fingerprint)
    note = in_words(compare_cards(read.card, merged)) or "left as it was"
    _keep([read.card.file], f"{card_id}: two changes put together: {note}")
    return redirect(url_for("activities.show", card_id=card_id), 303)


def _named_in_merge(merged: Card, read: ReadCard) -> list[str]:
    """Labels that would come into the card with what was chosen."""
    made = ReadCard(merged, change_card(read.text, merged), "")
    texts, before = (typed_texts(card_values(each)) for each in (made, read))
    return labels_named(request.form, texts, before.values())


def _merge_page(
    card: Card, three: Three, *, missing: bool = False, picked: Mapping[str, str] | None = None
) -> str:
    cards = three.cards(card.file) or (card, card, card)
    if picked is None:  # of other versions each number means another piece
        picked = request.form if missing else {}
    choices = choices_of(cards, picked)
    return render_template(
        "activities/merge.html", card=card, three=three, choices=choices, missing=missing
    )


def _as_it_is(card_id: str) -> ReadCard | None:
    """The card as it is now; None where it was removed or can no longer be read."""
    try:
        return shelf().cards.read(card_id)
    except (NotFound, Invalid):
        return None


def _page_of_lost() -> str:
    """What was typed into a card that is gone, as a new card."""
    values = read_card_form(request.form)
    start = (
        "The card was removed or renamed, or its file can no longer be read. "
        "What you typed is here; saved, it becomes a card of its own."
    )
    return _page(Writing(Filled(values), parsed_form(values, NEW_FILE), start=start))


def _read_lines(lines: str) -> ResponseReturnValue:
    """A form with what the reader of questions made of a few lines."""
    question = read_question(" ".join(lines.split()), shelf().vocabulary())
    draft = draft_card(lines, question)
    values = drafted_values(draft)
    said = [part.shown for part in question.parts if part.kind != "word"]
    start = f"Read from your lines: {', '.join(said)}. " if said else ""
    if is_endless(draft):
        oldest = read_ages(USUAL_AGES).high
        start += (
            f"The lines name no oldest age: as the rooms here, it ends at {oldest} months. "
            if values["ages"]
            else "Up to which age? The lines do not say, so the ages are empty. "
        )
    start += "Look at every field before you save."
    return _page(
        Writing(
            Filled(values),
            parsed_form(values, NEW_FILE),
            start=start,
            lines=lines,
            not_understood=not_understood(question),
        )
    )


def _only_shown(writing: Writing) -> str | None:
    """The page after a button that keeps nothing; None for a real save."""
    values = writing.form.values
    if "add" in request.form:
        blank = request.form["add"]
        form = replace(writing.form, blank=blank, unsaved=True)
    elif "drop" in request.form:
        form = replace(writing.form, values=without_row(values, request.form["drop"]), unsaved=True)
    elif "preview" in request.form:
        form = replace(writing.form, unsaved=True)
    else:
        return None
    file = writing.card.file if writing.card else NEW_FILE
    before = parse_card(form.marks["base"], file).card if "base" in form.marks else None
    return _page(replace(writing, form=form, parsed=parsed_form(form.values, file, before)))


def _blocking(writing: Writing) -> list[Problem]:
    """What has to be mended before the card can be kept: nothing that was typed may be lost."""
    known = known_to_cards(shelf().paths, shelf().cards)[0]
    values, parsed = writing.form.values, writing.parsed
    problems = in_form_words(parsed.problems, values)
    if parsed.card is not None and known.centers:
        wrong = [key for key in parsed.card.centers if key not in known.centers]
        problems += [
            Problem("", 0, "centers", f"there is no center '{key[:40]}'", "choose one of the list")
            for key in wrong
        ]
    unknown = unknown_materials(values, known.materials)
    before = {line.item for line in writing.card.materials} if writing.card else set()
    return problems + material_problems(unknown, before)


def _refused(writing: Writing, problems: list[Problem]) -> Writing:
    """The form with what has to be mended, each fault once beside its field."""
    form = replace(writing.form, problems=tuple(sorted(problems, key=_place)), brief=True)
    return replace(writing, form=form)


def _place(problem: Problem) -> int:
    """Where on the page a problem belongs."""
    name = problem.field.partition("[")[0]
    return UPPER.index(name) if name in UPPER else len(UPPER)


def _alike_to_look_at(writing: Writing) -> bool:
    """Whether a card is like this one that was not shown to the person who saves."""
    remarks = _remarks(writing)
    looked = request.form.get("looked", "").split()
    return any(each.id not in looked for each in remarks.alike)


def _add_materials(writing: Writing) -> list[str]:
    """Adds the new materials that the card names; the files that changed."""
    unknown = unknown_materials(writing.form.values, shelf().materials())
    new = [each.said for each in unknown if each.said.kind and each.said.loose]
    return [MATERIALS] if new and shelf().cards.add_materials(new) else []


def _keep(files: list[str], note: str) -> None:
    if files:
        shelf().refresh_files(files)
        shelf().history.record(files, note, who_saves())


def _marks(read: ReadCard) -> dict[str, str]:
    return {"fingerprint": read.fingerprint, "base": read.text}


def _base(read: ReadCard | None) -> ReadCard | None:
    """The card that the form began with; as it is now where the form does not say."""
    text, fingerprint = _text_of("base"), request.form.get("fingerprint", "")
    if read and (fingerprint == read.fingerprint or not text):
        return read
    file = read.card.file if read else NEW_FILE
    card = parse_card(text, file).card if text else None
    return ReadCard(card, text, fingerprint) if card else read


def _text_of(name: str) -> str:
    """A text that travels with a form; a browser turns its line ends, and some keep the first."""
    return request.form.get(name, "").replace("\r\n", "\n").lstrip("\n")


def _remarks(writing: Writing) -> Remarks:
    known = known_to_cards(shelf().paths, shelf().cards)[0]
    return remarks_on(writing.form, writing.parsed, known)


def _page(writing: Writing) -> str:
    here = shelf()
    remarks = _remarks(writing)
    values: dict[str, Plain] = writing.form.values
    return render_template(
        "activities/form.html",
        writing=writing,
        card=writing.card,
        form=writing.form,
        remarks=remarks,
        choices=choices(),
        centers=here.centers(),
        items=here.item_names(),
        allergens=here.vocabulary().allergens,
        techniques=sorted(here.vocabulary().techniques),
        is_open=bool(writing.card)
        or any(values.get(key) for key in ("steps", "props", "seasons"))
        or any(_place(problem) == len(UPPER) for problem in writing.form.problems),
        writer=visitor().name,
    )
