"""``lowshelf unit clone``: exit codes, one JSON object, one new file."""

import datetime as dt
import json
from dataclasses import replace

import pytest

from library.room.rooms import Rooms
from library.units.parsing import write_theme, write_unit
from library.units.unit import Again, LookBack
from server.cli import main
from tests.builders import (
    CARD_TEXT,
    NAP,
    a_child,
    a_placement,
    a_room,
    a_theme,
    a_unit,
    write_library,
)

OLD = dt.date(2025, 10, 6)
SOURCE, TARGET = "leaves-and-wind/2025-fall", "leaves-and-wind/2026-fall"


@pytest.fixture
def paths(tmp_path):
    paths = write_library(tmp_path, {"water/sponge-rain.md": CARD_TEXT})
    folder = paths.themes / "leaves-and-wind"
    folder.mkdir()
    (folder / "theme.md").write_text(write_theme(a_theme()))
    unit = a_unit(
        a_placement(days=(dt.date(2025, 10, 8),)),
        a_placement("art", "tub"),
        starts=OLD, name="2025-fall", look_back=(LookBack("tub", Again.NO, note="too wet"),),
    )  # fmt: skip
    (folder / "2025-fall.md").write_text(write_unit(unit))
    return paths


@pytest.fixture
def run(capsys, paths):
    """Clones with these words; gives exit code, standard output and standard error."""
    closed = frozenset({dt.date(2026, 10, 7)})
    away = replace(NAP, away=True)
    room = a_room(a_child(), closed=closed, centers=("water",), prep_windows=(away,))
    Rooms(paths.database).save(room)

    def run(*words, source=SOURCE, to=TARGET, starts="2026-10-05"):
        places = ("--library", str(paths.folder), "--data", str(paths.data))
        with pytest.raises(SystemExit) as ended:
            main(["unit", "clone", source, "--to", to, "--starts", starts, *places, *words])
        return ended.value.code, *capsys.readouterr()

    return run


def files(paths):
    return {p: p.read_bytes() for p in paths.folder.rglob("*") if p.is_file()}


def test_clone14_one_json_object_and_one_new_file(run, paths):
    """CLONE14, CMD1, FIND8: cautions give 0."""
    before = files(paths)
    code, out, err = run("--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert [(p["center"], p["activity"]) for p in found["placements"]] == [("water", "sponge-rain")]
    assert found["left_out"] == [
        {"activity": "tub", "center": "art", "why": "look-back", "note": "too wet"}
    ]
    assert found["moved"] == [
        {"activity": "sponge-rain", "center": "water", "from": "2026-10-07", "to": "2026-10-08"}
    ]
    assert {"level", "kind", "center", "activity", "item", "why", "source", "fix"} <= set(
        found["findings"][0]
    )
    after = files(paths)
    assert [p.name for p in after.keys() - before.keys()] == ["2026-fall.md"]
    assert {p: after[p] for p in before} == before


def test_for_a_person_it_says_what_is_left_out_and_what_moved(run):
    _, out, _ = run()
    assert "left out: tub: too wet" in out
    assert "moved: sponge-rain: 2026-10-07 → 2026-10-08" in out


@pytest.mark.parametrize(
    "wrong",
    [
        {"to": SOURCE},
        {"starts": "2026-10-06"},
        {"starts": "fall"},
        {"starts": "9999-12-27"},
        {"starts": "0001-01-01"},
        {"to": "nowhere/2026-fall"},
        {"to": "../x"},
        {"source": "leaves-and-wind/1999-fall"},
    ],
)
def test_clone11_what_cannot_be_is_2_and_nothing_is_written(run, paths, wrong):
    """CLONE11; a unit that is not there is wrong use as well."""
    before = files(paths)
    code, out, err = run("--json", **wrong)
    assert (code, out) == (2, "")
    assert err
    assert files(paths) == before


def test_find8_a_stop_gives_1_and_the_file_is_written_all_the_same(run, paths):
    """FIND8: a card that is gone is a stop."""
    (paths.activities / "water" / "sponge-rain.md").unlink()
    code, out, _ = run("--json")
    assert code == 1
    assert {f["kind"] for f in json.loads(out)["findings"] if f["level"] == "stop"} == {"missing"}
    assert (paths.folder / f"themes/{TARGET}.md").is_file()


def test_cmd2_without_a_room_it_says_what_to_run(paths, capsys):
    """CMD2."""
    places = ["--library", str(paths.folder), "--data", str(paths.data)]
    with pytest.raises(SystemExit) as ended:
        main(["unit", "clone", SOURCE, "--to", TARGET, "--starts", "2026-10-05", *places])
    assert ended.value.code == 2
    assert "room load" in capsys.readouterr().err


def test_cmd1_a_unit_that_cannot_be_read_is_one_json_object_as_well(run, paths):
    """CMD1: exit 1, problems on standard output, the message on standard error."""
    file = paths.folder / f"themes/{SOURCE}.md"
    file.write_text(file.read_text().replace("starts: 2025-10-06", "starts: someday"))
    code, out, err = run("--json")
    assert code == 1
    assert [problem["field"] for problem in json.loads(out)["problems"]] == ["starts"]
    assert "someday" in err
