"""The Print page and ``lowshelf print``."""

import io
import json

import pdfplumber
import pytest

from library.paper.sheet import Audience
from library.paper.sheets import SHEETS
from server.settings import load_settings
from tests.builders import CARD_TEXT, write_library
from tests.server.pages import filled, soup, words

UNIT = """\
---
title: Leaves and wind, fall 2026
starts: 2026-10-05
weeks: 1
placements:
  - {center: water, activity: sponge-rain, note: finch likes it}
  - {center: blocks, standing: true, add: gourds among the blocks}
---
"""
ROOM = """\
name: Fern Room
adults: 2
children:
  - {label: finch, born: 2024-03}
  - {label: zaunkoenig, born: 2024-01, allergens: [egg]}
centers: [water, blocks]
stock: [{item: hand sponge, amount: 6, bin: B4}]
"""
THEME = "---\ntitle: Leaves and wind\nwords: [{en: leaf, es: hoja}]\n---\nLeaves let go.\n"
BASE = "/units/leaves-and-wind/2026-fall/print"


@pytest.fixture
def paths(tmp_path):
    """A library with one card, a theme and a unit of one week."""
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT}, "- item: hand sponge\n")
    theme = paths.themes / "leaves-and-wind"
    theme.mkdir(parents=True)
    (theme / "theme.md").write_text(THEME, encoding="utf-8")
    (theme / "2026-fall.md").write_text(UNIT, encoding="utf-8")
    return paths


@pytest.fixture
def fern(app):
    """The room, with two children."""
    from library.room.roomfile import read_room

    app.extensions["lowshelf"].rooms.save(read_room(ROOM).room)


def pdf_text(answer):
    with pdfplumber.open(io.BytesIO(answer.data)) as pdf:
        return "\n".join(page.extract_text() for page in pdf.pages)


def test_the_page_shows_every_sheet_with_its_pages_and_what_to_load(client, fern):
    page = soup(client.get(BASE))
    assert [item["id"] for item in page.select(".sheets > li")] == [
        name for audience in Audience for name, e in SHEETS.items() if e.audience is audience
    ]
    for item in page.select(".sheets > li"):
        assert item.select_one("svg.sheet text")
        assert "of Letter" in item.get_text()
    assert "1 sheet of Letter, landscape; plain paper" in words(client.get(BASE))


def test_the_paper_that_was_chosen_stays_chosen_in_every_link(client, fern):
    page = soup(client.get(f"{BASE}?paper=a4"))
    links = [link["href"] for link in page.select(".sheets a")]
    assert links
    assert all("paper=a4" in link for link in links)
    assert "of A4" in page.get_text()


@pytest.mark.parametrize("name", SHEETS)
def test_each_sheet_opens_and_is_a_pdf(client, fern, name):
    page = soup(client.get(f"{BASE}/{name}"))
    assert page.select("svg.sheet")
    assert page.select("[style]") == []
    answer = client.get(f"{BASE}/{name}.pdf")
    assert answer.mimetype == "application/pdf"
    assert answer.data.startswith(b"%PDF")
    assert answer.headers["Cache-Control"] == "no-store"
    assert "unsafe-eval" not in answer.headers["Content-Security-Policy"]


@pytest.mark.parametrize(
    ("ending", "start"), [("csv", b"center,"), ("json", b"{"), ("xlsx", b"PK"), ("txt", b"")]
)
def test_each_sheet_has_other_forms(client, fern, ending, start):
    answer = client.get(f"{BASE}/setup-walk.{ending}")
    assert answer.status_code == 200
    assert answer.data.startswith(start) or ending == "csv"
    assert f"setup-walk-leaves-and-wind-2026-fall.{ending}" in answer.headers["Content-Disposition"]


def test_a_label_on_a_posted_sheet_is_asked_about(client, fern):
    assert "also labels of children: finch" in words(client.get(f"{BASE}/setup-sheets"))
    assert "also labels" not in words(client.get(f"{BASE}/posted-plan"))


@pytest.mark.parametrize("name", [n for n, e in SHEETS.items() if e.audience is not Audience.STAFF])
def test_no_posted_or_family_sheet_names_a_child_or_an_allergen_of_the_room(client, fern, name):
    for ending in ("pdf", "txt", "json", "csv"):
        answer = client.get(f"{BASE}/{name}.{ending}")
        said = pdf_text(answer) if ending == "pdf" else answer.get_data(as_text=True)
        assert "zaunkoenig" not in said
        assert "egg" not in said


def test_an_edited_letter_is_printed_and_kept_nowhere(client, fern, paths):
    before = {p: p.read_bytes() for p in paths.folder.rglob("*") if p.is_file()}
    form = filled(soup(client.get(f"{BASE}/family-letter")), "main form[method=post]")
    assert form["text"].startswith("Leaves and wind\n")
    form["text"] = "Boots, please\r\n\r\nIt will rain."
    assert "Boots, please" in pdf_text(client.post(f"{BASE}/family-letter.pdf", data=form))
    shown = soup(client.post(f"{BASE}/family-letter", data=form))
    assert shown.select_one("textarea").get_text().strip().startswith("Boots, please")
    assert "Boots," in shown.select_one("svg").get_text()
    assert client.post(f"{BASE}/family-letter.txt", data=form).get_data(as_text=True) == (
        "Boots, please\n\nIt will rain.\n"
    )
    assert {p: p.read_bytes() for p in paths.folder.rglob("*") if p.is_file()} == before
    assert "Boots" not in client.get(f"{BASE}/family-letter.txt").get_data(as_text=True)


def test_only_the_letter_can_be_edited(client, fern):
    assert client.post(f"{BASE}/posted-plan", data={"text": "x"}).status_code == 404


@pytest.mark.parametrize(
    "address",
    [
        "/nothing",
        "/posted-plan.doc",
        "/posted-plan.",
        "?paper=a3",
        "/setup-walk?day=soon",
        "?rules=none",
    ],
)
def test_what_is_not_there_or_cannot_be_read_is_said(client, fern, address):
    answer = client.get(f"{BASE}{address}")
    assert answer.status_code == (
        200 if address == "/posted-plan." else 400 if "?" in address else 404
    )


def test_without_a_room_the_sheets_print_and_say_so(client):
    assert "No room is loaded" in words(client.get(BASE))
    assert client.get(f"{BASE}/allergy-notes.pdf").data.startswith(b"%PDF")


def test_a_change_of_a_card_shows_at_once(client, fern, paths):
    client.get(BASE)
    card = paths.activities / "water/sponge-rain.md"
    card.write_text(
        card.read_text(encoding="utf-8").replace("Two fingers", "Three fingers"), encoding="utf-8"
    )
    assert "Three fingers" in client.get(f"{BASE}/setup-sheets.txt").get_data(as_text=True)


def test_codes_lead_to_the_host_name_of_the_settings(paths):
    from server.printing import printed_address

    def address(**said):
        return printed_address(load_settings(paths, {}, **said))

    assert address() == ""
    assert address(host_name="fern.local") == "http://fern.local:8765"
    assert address(host_name="fern.local:80") == "http://fern.local:80"
    assert address(host_name="https://fern.example/") == "https://fern.example"


@pytest.fixture
def run(paths, capsys):
    """Runs the command line and gives exit code, output and messages."""
    from server.cli import main

    places = ["--library", str(paths.folder), "--data", str(paths.data)]

    def run(*arguments):
        with pytest.raises(SystemExit) as ended:
            main([*places, *map(str, arguments)])
        captured = capsys.readouterr()
        return ended.value.code, captured.out, captured.err

    return run


@pytest.fixture
def loaded(run, tmp_path):
    """The room, loaded from a file."""
    file = tmp_path / "room.yaml"
    file.write_text(ROOM, encoding="utf-8")
    assert run("room", "load", file)[0] == 0


def test_print_writes_a_file_and_says_what_to_load(run, loaded, tmp_path):
    out = tmp_path / "plan.pdf"
    code, said, _ = run("print", "posted-plan", "leaves-and-wind/2026-fall", "--out", out)
    assert code == 0
    assert "1 sheet of Letter, landscape" in said
    with pdfplumber.open(out) as pdf:
        assert "gourds among the blocks" in pdf.pages[0].extract_text()


def test_print_gives_one_json_object_with_the_rows(run, loaded, tmp_path):
    out = tmp_path / "walk.csv"
    code, said, _ = run(
        "print", "setup-w", "leaves-and-wind/2026-fall", "--out", out, "--paper", "a4", "--json"
    )
    answer = json.loads(said)
    assert code == 0
    assert answer["sheet"] == "setup-walk"
    assert answer["for"] == "staff"
    assert answer["pages"] >= 1
    assert any(row["bin"] == "B4" for row in answer["tables"][0]["rows"])
    assert out.read_text(encoding="utf-8").startswith("day,center,activity,item,amount,bin\n")


def test_a_file_that_is_there_is_replaced(run, loaded, tmp_path):
    out = tmp_path / "letter.txt"
    out.write_text("old", encoding="utf-8")
    assert run("print", "family", "leaves-and-wind/2026-fall", "--out", out)[0] == 0
    assert out.read_text(encoding="utf-8").startswith("Leaves and wind\n")


@pytest.mark.parametrize(
    "arguments",
    [
        ("poster", "leaves-and-wind/2026-fall", "--out", "x.pdf"),
        ("s", "leaves-and-wind/2026-fall", "--out", "x.pdf"),
        ("posted-plan", "leaves-and-wind", "--out", "x.pdf"),
        ("posted-plan", "leaves-and-wind/2026-fall", "--out", "x.doc"),
        ("posted-plan", "leaves-and-wind/2026-fall", "--out", "nowhere/x.pdf"),
        ("posted-plan", "leaves-and-wind/2026-fall", "--out", "x.pdf", "--paper", "a3"),
        ("posted-plan", "leaves-and-wind/2026-fall", "--out", "x.pdf", "--day", "soon"),
        ("posted-plan", "leaves-and-wind/2026-fall"),
    ],
)
def test_wrong_use_of_print_is_2_and_writes_nothing(run, loaded, tmp_path, monkeypatch, arguments):
    monkeypatch.chdir(tmp_path)
    code, _, message = run("print", *arguments)
    assert code == 2
    assert message
    assert list(tmp_path.glob("x.*")) == []


def test_print_without_a_room_says_what_to_run(run, tmp_path):
    """CMD2."""
    code, _, message = run(
        "print", "posted-plan", "leaves-and-wind/2026-fall", "--out", tmp_path / "x.pdf"
    )
    assert code == 2
    assert "lowshelf room load" in message


def test_a_staff_sheet_is_never_written_into_the_library_folder(run, loaded, paths):
    inside = paths.folder / "walk.pdf"
    code, _, message = run("print", "setup-walk", "leaves-and-wind/2026-fall", "--out", inside)
    assert code == 2
    assert "library folder" in message
    assert not inside.exists()
    assert run("print", "posted-plan", "leaves-and-wind/2026-fall", "--out", inside)[0] == 0


def test_a_missing_card_is_named_and_the_rest_printed(run, loaded, paths, tmp_path):
    unit = paths.themes / "leaves-and-wind/2026-fall.md"
    unit.write_text(UNIT.replace("sponge-rain", "gone-card"), encoding="utf-8")
    code, _, message = run(
        "print", "setup-sheets", "leaves-and-wind/2026-fall", "--out", tmp_path / "x.pdf"
    )
    assert code == 1
    assert "gone-card" in message
    assert (tmp_path / "x.pdf").exists()


def test_help_lists_what_can_be_printed(run):
    code, said, _ = run("print", "--help")
    assert code == 0
    assert all(name in said for name in SHEETS)


def test_labels_on_a_posted_sheet_are_asked_about_on_the_command_line(run, loaded, tmp_path):
    out = tmp_path / "x.pdf"
    assert "finch" in run("print", "setup-sheets", "leaves-and-wind/2026-fall", "--out", out)[2]


def test_the_print_pages_say_how_many_stops_are_printed_at_their_trays(client, paths, fern):
    said = "stands open on this plan; it is printed at its tray"
    assert said not in words(client.get(BASE))
    (paths.activities / "materials.yaml").write_text("- {item: hand sponge, allergens: [egg]}\n")
    for page in (BASE, f"{BASE}/setup-sheets"):
        assert f"1 stop {said}" in words(client.get(page)), page
