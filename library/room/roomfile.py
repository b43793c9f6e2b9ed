"""The room file: YAML text ↔ room. What cannot be read is named, all of it at once."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from zoneinfo import available_timezones

from library.materials.amounts import Quantity, parse_quantity
from library.room.room import (
    USUAL_ADULTS,
    USUAL_RULES,
    WEEKDAYS,
    WORKING_WEEK,
    Block,
    BlockKind,
    BuyLine,
    Child,
    Loans,
    Policy,
    PrepWindow,
    Room,
    StockLine,
)
from library.room.times import read_date, read_month, read_time, read_weekdays
from library.store.fields import Fields, one_of, read_flag, whole_number
from library.store.frontmatter import dump_field
from library.store.paths import ID
from library.store.problems import Problem, Unreadable
from library.store.yamltext import Loaded, Plain, load_yaml, plain_dict

BLOCK_KINDS: tuple[BlockKind, ...] = ("free", "outdoor", "circle", "meal", "rest")
FIELDS = (
    "name",
    "adults",
    "adults_on",
    "children",
    "day",
    "prep_windows",
    "open",
    "closed",
    "centers",
    "rules",
    "languages",
    "stock",
    "buy",
    "policies",
    "loan_days",
    "loan_ahead",
    "loan_hold",
    "shelf",
    "units",
    "zone",
    "prep_as_it_took",
)
"""Keys of a room file in their usual order."""

_MAX_ADULTS = 30
_HIGHEST_PRICE = 1_000_000
"""In whatever money; beyond that it is a slip, and decimals of many digits cannot be rounded to the cent."""
_MOST_MONTHS = 1_200
_ADULTS = whole_number(0, _MAX_ADULTS, "adults")
_kind = one_of(*BLOCK_KINDS)


@dataclass(frozen=True, slots=True)
class RoomFile:
    """What a room file says."""

    room: Room
    """What could be read; complete only where there is no problem."""
    problems: tuple[Problem, ...]
    """To be mended before the room is loaded: a child or a closed day may be missing otherwise."""
    remarks: tuple[Problem, ...]
    """Worth a look; the room can be loaded all the same."""


def read_room(text: str, file: str = "") -> RoomFile:
    """Reads a room file.

    Times, yes and no, and lists of one are understood as YAML distorts them: 780 is 13:00, false
    is no, 1 is [1] (CMD9).

    Args:
        text: The YAML text.
        file: Name for the problems.
    """
    return read_values(load_yaml(text.removeprefix("\ufeff")), file)


def read_values(loaded: Loaded, file: str = "") -> RoomFile:
    """Reads a room from the values of a room file, wherever they were typed.

    Args:
        loaded: The values, each still the text that was typed.
        file: Name for the problems.
    """
    top = Fields.of(loaded)
    if not isinstance(top.loaded.value, dict) and not top.problems:
        top.complain("", "the file names no room", "write lines such as 'name: Fern Room'")
    else:
        top.require("name", "Fern Room")
    remarks = top.only(FIELDS)
    room = Room(
        name=top.text("name"),
        adults=top.read("adults", _ADULTS, USUAL_ADULTS),
        children=_children(top, remarks),
        day=_blocks(top, remarks),
        prep_windows=_windows(top, remarks),
        open=read_weekdays(top, "open") if "open" in top.values else WORKING_WEEK,
        closed=frozenset(top.read_each("closed", read_date)),
        centers=_unique(top, "centers", top.read_each("centers", _center)),
        rules=top.text("rules") or USUAL_RULES,
        languages=top.texts("languages"),
        stock=tuple(line for line in (_stock(row, remarks) for row in top.rows("stock")) if line),
        buy=tuple(line for line in (_buy(row, remarks) for row in top.rows("buy")) if line),
        policies=tuple(p for p in (_policy(row, remarks) for row in top.rows("policies")) if p),
        adults_on=_adults_on(top, remarks),
        loans=_loans(top),
        shelf=top.text("shelf"),
        units=tuple(dict.fromkeys(top.read_each("units", _unit))),
        zone=top.read("zone", _zone, ""),
        prep_as_it_took=top.read("prep_as_it_took", read_flag, False),
    )
    return RoomFile(
        room,
        top.found(file),
        tuple(remark.in_file(file) for remark in remarks),
    )


def write_room(room: Room) -> str:
    """The room as a room file that reads back as the same room; what is empty is left out."""
    values = {
        "name": room.name,
        "adults": room.adults,
        "adults_on": [{"date": day, "adults": number} for day, number in room.adults_on],
        "children": [_child_row(child) for child in room.children],
        "day": [_block_row(block) for block in room.day],
        "prep_windows": [_window_row(window) for window in room.prep_windows],
        "open": list(room.open),
        "closed": sorted(room.closed),
        "centers": list(room.centers),
        "rules": room.rules,
        "languages": list(room.languages),
        "stock": [_stock_row(line) for line in room.stock],
        "buy": [_buy_row(line) for line in room.buy],
        "policies": [_policy_row(policy) for policy in room.policies],
        **_loan_values(room.loans),
        "shelf": room.shelf,
        "units": list(room.units),
        "zone": room.zone,
        "prep_as_it_took": room.prep_as_it_took,
    }
    kept = {
        key: value
        for key, value in values.items()
        if key in {"name", "adults", "open"} or (value is not False and value not in ([], ""))
    }
    return "".join(f"{line}\n" for key in kept for line in dump_field(key, kept[key]))


def plain_values(room: Room) -> dict[str, Plain]:
    """The room with the keys of a room file, each value as one would type it."""
    return plain_dict(load_yaml(write_room(room)).value)


def _children(top: Fields, remarks: list[Problem]) -> tuple[Child, ...]:
    children = []
    for row in top.rows("children"):
        remarks += row.only(("label", "born", "allergens", "days", "from", "until"))
        has_label, has_month = row.require("label", "wren"), row.require("born", "2024-03")
        born = row.read("born", read_month, None)
        since, until = row.read("from", read_date, None), row.read("until", read_date, None)
        if since and until and until < since:
            row.complain("until", f"found {until}, before from ({since})", "swap the two dates")
        if has_label and has_month and born:
            children.append(
                Child(
                    label=row.text("label"),
                    born=born,
                    allergens=tuple(dict.fromkeys(a.lower() for a in row.texts("allergens"))),
                    days=read_weekdays(row, "days") if "days" in row.values else WEEKDAYS,
                    since=since,
                    until=until,
                )
            )
    _unique(top, "children", [child.label.casefold() for child in children])
    return tuple(children)


def _blocks(top: Fields, remarks: list[Problem]) -> tuple[Block, ...]:
    blocks = []
    for row in top.rows("day"):
        remarks += row.only(("name", "from", "to", "kind"))
        row.require("name", "free play")
        span = _span(row)
        if span:
            kind: BlockKind = row.read("kind", _block_kind, "free")
            blocks.append(Block(row.text("name"), *span, kind))
    return tuple(blocks)


def _windows(top: Fields, remarks: list[Problem]) -> tuple[PrepWindow, ...]:
    windows = []
    for row in top.rows("prep_windows"):
        remarks += row.only(("days", "from", "to", "adults", "away"))
        days = read_weekdays(row, "days") if "days" in row.values else WORKING_WEEK
        adults = row.read("adults", whole_number(1, _MAX_ADULTS, "adults"), 1)
        away = row.read("away", read_flag, False)
        span = _span(row)
        if span:
            windows.append(PrepWindow(days, *span, adults, away))
    return tuple(windows)


def _span(row: Fields) -> tuple[dt.time, dt.time] | None:
    has_start, has_end = row.require("from", '"08:30"'), row.require("to", '"10:00"')
    start, end = row.read("from", read_time, None), row.read("to", read_time, None)
    if not (has_start and has_end) or start is None or end is None:
        return None
    if end <= start:
        row.complain(
            "to", f"found {end:%H:%M}, not after from ({start:%H:%M})", "write a later time"
        )
        return None
    return start, end


def _loans(top: Fields) -> Loans:
    usual = Loans()
    return Loans(
        days=top.read("loan_days", whole_number(1, 365, "days"), usual.days),
        ahead=top.read("loan_ahead", whole_number(0, 365, "days"), usual.ahead),
        hold=top.read("loan_hold", whole_number(0, 60, "days"), usual.hold),
    )


def _loan_values(loans: Loans) -> dict[str, int]:
    """What is lent otherwise than usual."""
    usual = Loans()
    said = {"days": loans.days, "ahead": loans.ahead, "hold": loans.hold}
    return {f"loan_{key}": number for key, number in said.items() if number != getattr(usual, key)}


def _zone(text: str) -> str:
    """A name of the IANA time zone database, however its letters are written."""
    known = {name.casefold(): name for name in available_timezones()}
    wanted = "_".join(text.split()).casefold()
    if wanted and wanted not in known:
        raise Unreadable(text, "a time zone by its place, such as America/Los_Angeles")
    return known.get(wanted, "")


def _unit(text: str) -> str:
    theme, _, name = text.strip().partition("/")
    if not (ID.match(theme) and ID.match(name)):
        raise Unreadable(text, "a theme and a unit, such as leaves-and-wind/2026-fall")
    return f"{theme}/{name}"


def _stock(row: Fields, remarks: list[Problem]) -> StockLine | None:
    remarks += row.only(("item", "amount", "bin", "out"))
    has_item, has_amount = row.require("item", "hand sponge"), row.require("amount", "6")
    amount = row.read("amount", _stock_quantity, None)
    if not (has_item and has_amount) or amount is None:
        return None
    out = row.read("out", _stock_quantity, None)
    if out is not None and out.measure not in ("", amount.measure):
        row.complain("out", f"found {out}", f"write it in the measure of the amount ({amount})")
    if out is not None and out.number > amount.number:
        row.complain("out", f"found {out}, more than there is ({amount})", "write less")
    number = min(out.number, amount.number) if out else Fraction(0)
    return StockLine(row.text("item"), amount, row.text("bin"), number)


def _buy(row: Fields, remarks: list[Problem]) -> BuyLine | None:
    remarks += row.only(("item", "pack", "price", "delivery_days", "shop"))
    if not row.require("item", "white rice"):
        return None
    return BuyLine(
        item=row.text("item"),
        pack=row.read("pack", parse_quantity, None),
        price=row.read("price", _price, None),
        delivery_days=row.read("delivery_days", whole_number(0, 365, "days"), 0),
        shop=row.text("shop"),
    )


def _policy(row: Fields, remarks: list[Problem]) -> Policy | None:
    remarks += row.only(("kind", "note", "by", "on", "youngest"))
    present = [
        row.require(key, example)
        for key, example in (
            ("kind", "water"),
            ("note", "basins only, emptied at once"),
            ("by", "the team"),
            ("on", "2026-09-01"),
        )
    ]
    on = row.read("on", read_date, None)
    if not all(present) or on is None:
        return None
    youngest = row.read("youngest", whole_number(0, _MOST_MONTHS, "months"), None)
    return Policy(row.text("kind"), row.text("note"), row.text("by"), on, youngest)


def _adults_on(top: Fields, remarks: list[Problem]) -> tuple[tuple[dt.date, int], ...]:
    found = {}
    for row in top.rows("adults_on"):
        remarks += row.only(("date", "adults"))
        both = row.require("date", "2026-10-12"), row.require("adults", "1")
        day, number = row.read("date", read_date, None), row.read("adults", _ADULTS, None)
        if all(both) and day is not None and number is not None:
            found[day] = number
    return tuple(sorted(found.items()))


def _block_kind(text: str) -> BlockKind:
    return next(kind for kind in BLOCK_KINDS if kind == _kind(text))


def _center(text: str) -> str:
    key = text.strip().lower()
    if not ID.match(key):
        raise Unreadable(text, "the key of a center, such as water")
    return key


def _unique(fields: Fields, key: str, names: Iterable[str]) -> tuple[str, ...]:
    """The names once each; a problem for each that is there twice."""
    counted = Counter(names)
    for name in (name for name, times in counted.items() if times > 1):
        fields.complain(key, f"'{name}' is there twice", "keep one, or give the other its own name")
    return tuple(counted)


def _stock_quantity(text: str) -> Quantity:
    """An amount on a shelf; unlike an amount that is needed it may be 0."""
    number, _, measure = text.strip().partition(" ")
    if number == "0":
        return Quantity(Fraction(0), parse_quantity(f"1 {measure}").measure)
    return parse_quantity(text)


def _price(text: str) -> Decimal:
    plain = text.strip().lstrip("$€£").strip()
    try:
        price = Decimal(plain)
    except InvalidOperation as error:
        raise Unreadable(text, "a price such as 3.40") from error
    if not price.is_finite() or not 0 <= price < _HIGHEST_PRICE or price != round(price, 2):
        raise Unreadable(text, "a price such as 3.40, to the cent")
    return price


def _policy_row(policy: Policy) -> dict[str, object]:
    row: dict[str, object] = {
        "kind": policy.kind,
        "note": policy.note,
        "by": policy.by,
        "on": policy.on,
    }
    if policy.youngest is not None:
        row["youngest"] = policy.youngest
    return row


def _child_row(child: Child) -> dict[str, object]:
    row: dict[str, object] = {
        "label": child.label,
        "born": f"{child.born[0]:04}-{child.born[1]:02}",
    }
    if child.allergens:
        row["allergens"] = list(child.allergens)
    if child.days != WEEKDAYS:
        row["days"] = list(child.days)
    if child.since:
        row["from"] = child.since
    if child.until:
        row["until"] = child.until
    return row


def _block_row(block: Block) -> dict[str, object]:
    span = {"from": f"{block.start:%H:%M}", "to": f"{block.end:%H:%M}"}
    return {"name": block.name, **span, "kind": block.kind}


def _window_row(window: PrepWindow) -> dict[str, object]:
    span = {"from": f"{window.start:%H:%M}", "to": f"{window.end:%H:%M}"}
    return {"days": list(window.days), **span, "adults": window.adults, "away": window.away}


def _stock_row(line: StockLine) -> dict[str, object]:
    row: dict[str, object] = {"item": line.item, "amount": _exact(line.amount)}
    if line.bin:
        row["bin"] = line.bin
    return {**row, "out": str(line.out)} if line.out else row


def _buy_row(line: BuyLine) -> dict[str, object]:
    row: dict[str, object] = {"item": line.item}
    if line.pack:
        row["pack"] = _exact(line.pack)
    if line.price is not None:
        row["price"] = str(line.price)
    if line.delivery_days:
        row["delivery_days"] = line.delivery_days
    return {**row, "shop": line.shop} if line.shop else row


def _exact(quantity: Quantity) -> str:
    """A quantity that reads back as the same number: 2 kg, 5/2 sheet."""
    return f"{quantity.number} {quantity.measure}".strip()
