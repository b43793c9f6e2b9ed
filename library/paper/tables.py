"""What a sheet says as rows, and those rows as JSON, CSV and XLSX."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeAlias

Value: TypeAlias = str | int | float | None

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet reads a text that begins so as a formula (OWASP, CSV Injection)."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]

    def as_json(self) -> dict[str, Any]:
        """Name, and one object a row."""
        return {
            "name": self.name,
            "rows": [dict(zip(self.columns, row, strict=True)) for row in self.rows],
        }


def table(name: str, columns: str, rows: Iterable[tuple[Value, ...]]) -> Table:
    """A table.

    Args:
        name: What it is called.
        columns: Their names, with blanks between.
        rows: As many values each as there are columns.
    """
    return Table(name, tuple(columns.split()), tuple(rows))


def as_csv(tables: Iterable[Table]) -> str:
    """One table after the other, an empty line between; RFC 4180 but for line ends of one character.

    A text that a spreadsheet would run as a formula gets an apostrophe in front.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for number, each in enumerate(tables):
        if number:
            out.write("\n")
        writer.writerow(each.columns)
        writer.writerows([_harmless(value) for value in row] for row in each.rows)
    return out.getvalue()


def as_xlsx(tables: Iterable[Table]) -> bytes:
    """A workbook with a sheet for each table; every text stays a text."""
    from openpyxl import Workbook
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
    from openpyxl.styles import Font

    book = Workbook()
    del book[book.sheetnames[0]]
    for each in tables:
        page = book.create_sheet(each.name[:31])
        for y, row in enumerate((each.columns, *each.rows), start=1):
            for x, value in enumerate(row, start=1):
                cell = page.cell(y, x)
                cell.value = (
                    ILLEGAL_CHARACTERS_RE.sub("", value) if isinstance(value, str) else value
                )
                if isinstance(value, str):
                    cell.data_type = "s"
                cell.font = Font(bold=y == 1)
        page.freeze_panes = "A2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _harmless(value: Value) -> Value:
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value
