"""What is printed, as rows."""

import csv
import io

import pytest
from openpyxl import load_workbook

from library.paper.tables import as_csv, as_xlsx, table

ROWS = table(
    "shopping", "item buy", [("washable glue", 2), ("=1+1", None), ('say "hoja", wind', 1.5)]
)


def test_json_has_an_object_for_each_row():
    assert ROWS.as_json()["rows"][0] == {"item": "washable glue", "buy": 2}


def test_csv_reads_back_and_no_text_is_a_formula():
    """RFC 4180 for quotes and commas; OWASP "CSV Injection" for the apostrophe."""
    rows = list(csv.reader(io.StringIO(as_csv([ROWS]))))
    assert rows == [
        ["item", "buy"],
        ["washable glue", "2"],
        ["'=1+1", ""],
        ['say "hoja", wind', "1.5"],
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_each_sign_that_begins_a_formula_is_made_harmless(start):
    """Source: OWASP, CSV Injection."""
    rows = table("shopping", "item", [(f"{start}1+1",)])
    assert next(csv.reader(io.StringIO(as_csv([rows]).split("\n", 1)[1], newline="")))[0][0] == "'"
    cell = load_workbook(io.BytesIO(as_xlsx([rows])))["shopping"]["A2"]
    assert (cell.data_type, cell.value.strip()[-3:]) == ("s", "1+1")


def test_a_workbook_reads_back_and_no_text_is_a_formula():
    page = load_workbook(io.BytesIO(as_xlsx([ROWS])))["shopping"]
    assert [[cell.value for cell in row] for row in page.iter_rows()] == [
        ["item", "buy"],
        ["washable glue", 2],
        ["=1+1", None],
        ['say "hoja", wind', 1.5],
    ]
    assert page["A3"].data_type == "s"
