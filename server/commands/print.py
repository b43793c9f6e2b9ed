"""``lowshelf print WHAT THEME/UNIT --out FILE``."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from library.store.errors import WrongUse
from server.commands.common import Places, say, with_places
from server.commands.unit import unit_id

if TYPE_CHECKING:
    from library.paper.job import Job
    from library.paper.sheet import Sheet


class NamesOfSheets(click.Command):
    """Lists the sheets below the help."""

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Each sheet with what it is for."""
        from library.paper.sheets import SHEETS

        with formatter.section("What can be printed"):
            formatter.write_dl([(name, entry.about) for name, entry in SHEETS.items()])


@click.command("print", cls=NamesOfSheets)
@click.argument("what", metavar="WHAT")
@click.argument("unit", metavar="THEME/UNIT")
@click.option("--out", metavar="FILE", required=True, help="A .pdf, .txt, .json, .csv or .xlsx.")
@click.option("--paper", metavar="letter|a4", help="Paper; letter unless said.")
@click.option("--day", metavar="DATE", help="For a sheet for one day; else the unit's first.")
@click.option("--rules", metavar="NAME", help="Local rules whose words the posted plan names.")
@with_places
def command(
    places: Places,
    what: str,
    unit: str,
    out: str,
    paper: str | None,
    day: str | None,
    rules: str | None,
) -> int:
    """Writes one sheet of a unit to a file. WHAT may be shortened while it stays clear."""
    from library.paper.sheets import make_sheet, sheet_name
    from server.printing import print_job, read_wishes
    from server.settings import load_settings

    name, target = sheet_name(what), _target(out)
    wishes = read_wishes(paper, day, rules)
    settings = load_settings(places.paths, os.environ)
    job = print_job(settings, unit_id(unit), places.chosen_room(), wishes, dt.date.today())
    sheet = make_sheet(name, job)
    _write(target, sheet, places)
    missing = _remark(sheet, job)
    places.answer(_answer(sheet, target), [f"{target}: {sheet.load}"])
    return 1 if missing else 0


def _target(out: str) -> Path:
    from server.printing import FORMS

    path = Path(out)
    if path.suffix.lower().removeprefix(".") not in FORMS:
        endings = ", ".join(f".{ending}" for ending in FORMS)
        raise WrongUse(f"--out: found '{path.name}'; expected a file that ends in {endings}")
    if not path.parent.is_dir():
        raise WrongUse(f"--out: there is no folder {path.parent}")
    return path


def _write(target: Path, sheet: Sheet, places: Places) -> None:
    """Writes the file whole or not at all; staff sheets never into the library folder."""
    from library.paper.sheet import Audience
    from library.store.atomic import create_file, replace_file
    from server.printing import FORMS

    if sheet.audience is Audience.STAFF and target.resolve().is_relative_to(places.paths.folder):
        raise WrongUse(
            f"--out: a staff sheet may name children, and {target} lies in the library folder, "
            "which is shared; choose a folder outside it"
        )
    content = FORMS[target.suffix.lower().removeprefix(".")].write(sheet)
    if target.exists():
        replace_file(target, content, expected=None)
    else:
        create_file(target, content)


def _remark(sheet: Sheet, job: Job) -> bool:
    """Says what a person should look at before the sheet is hung up; True if a card is missing."""
    from library.paper.sheets import labels_on

    if labels := labels_on(sheet, job):
        say(f"These words on it are also labels of children; read it again: {', '.join(labels)}")
    if sheet.unprinted:
        say(f"The typeface has no {' '.join(sheet.unprinted)}; a frame stands for each.")
    missing = [p.placement.activity for p in job.plan.placed if p.is_missing]
    if missing:
        say(f"missing: {', '.join(name for name in missing if name)}")
    return bool(missing)


def _answer(sheet: Sheet, target: Path) -> dict[str, object]:
    from server.printing import sheet_json

    return {**sheet_json(sheet), "file": str(target)}
