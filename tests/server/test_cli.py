"""The command line: exit codes, JSON and messages."""

import json

import pytest

from server.cli import COMMANDS, lowshelf, main
from tests.builders import CARD_TEXT, write_library


@pytest.fixture
def run(capsys):
    """Runs a command; gives its exit code, standard output and standard error."""

    def run(*arguments):
        with pytest.raises(SystemExit) as caught:
            main([str(argument) for argument in arguments])
        out, err = capsys.readouterr()
        return caught.value.code, out, err

    return run


@pytest.fixture
def places(paths):
    return ("--library", paths.folder, "--data", paths.data)


def test_help_lists_every_command_without_loading_it(run):
    code, out, _ = run("--help")
    assert code == 0
    for name in COMMANDS:
        assert name in out


def test_wrong_use_is_2(run, tmp_path):
    assert run("nonsense")[0] == 2
    assert run("card", "check", "--library", tmp_path)[0] == 2


def test_cmd3_options_stand_before_or_after(run, places):
    """CMD3."""
    after = run("card", "check", *places, "--json")
    assert run(*places, "--json", "card", "check") == after
    assert run("card", *places, "--json", "check") == after
    assert run(places[0], "nowhere", "card", "--json", "check", *places) == after


@pytest.mark.parametrize("name", COMMANDS)
def test_cmd3_every_command_and_group_takes_the_options(name):
    """CMD3."""
    command = lowshelf.get_command(None, name)
    each = [command, *getattr(command, "commands", {}).values()]
    for one in each:
        options = {option for parameter in one.params for option in parameter.opts}
        assert options >= {"--library", "--data", "--room", "--json"}, one.name


def test_cmd1_cmd4_card_check_gives_one_json_object(run, places):
    """CMD1, CMD4."""
    code, out, err = run("card", "check", "--json", *places)
    assert (code, err) == (0, "")
    answer = json.loads(out)
    assert (answer["cards"], answer["problems"]) == (1, [])


def test_card_check_tells_what_needs_a_second_look(run, tmp_path):
    """A stop ends with 1; for a whole library cautions are counted, for a named card told."""
    paths = write_library(
        tmp_path,
        {"a/one.md": CARD_TEXT},
        "- {item: hand sponge, kind: durable, loose: true, shape: disc 25 x 4 mm}\n"
        "- {item: water, kind: consumable, loose: false}\n",
    )
    places = ("--library", paths.folder, "--data", paths.data)
    code, out, _ = run("card", "check", "--json", *places)
    found = {(f["level"], f["kind"], f["item"]) for f in json.loads(out)["findings"]}
    assert code == 1
    assert found == {("stop", "small-part", "hand sponge"), ("caution", "water", "water")}
    code, out, _ = run("card", "check", *places)
    assert "stop: hand sponge" in out
    assert "1 caution or note" in out
    code, out, _ = run("card", "check", paths.folder / "activities/a/one.md", *places)
    assert "caution: A child can drown" in out
    assert "licensing rules" in out


def test_card_check_names_every_problem_and_ends_with_1(run, tmp_path):
    paths = write_library(
        tmp_path, {"a/one.md": CARD_TEXT.replace("prep: 8", "prep: x"), "a/two.md": "no"}
    )
    code, out, _ = run("card", "check", "--json", "--library", paths.folder, "--data", paths.data)
    answer = json.loads(out)
    assert code == 1
    assert answer["cards"] == 0
    assert [(p["file"], p["line"], p["field"]) for p in answer["problems"]] == [
        ("activities/a/one.md", 5, "prep"),
        ("activities/a/two.md", 1, ""),
    ]
    assert all(p["fix"] for p in answer["problems"])


def test_card_check_takes_files(run, places, tmp_path):
    other = tmp_path / "draft.md"
    other.write_text("---\ntitle: A\n---\n")
    code, out, _ = run("card", "check", other, "--json", *places)
    assert code == 1
    assert {p["field"] for p in json.loads(out)["problems"]} >= {"centers", "ages", "prep"}


def test_card_schema_is_valid_and_accepts_the_example(run, places):
    import jsonschema

    code, out, _ = run("card", "schema", *places)
    schema = json.loads(out)
    jsonschema.Draft202012Validator.check_schema(schema)
    assert code == 0
    jsonschema.validate({"title": "A", "centers": ["water"], "ages": "24-48", "prep": 8}, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"title": "A"}, schema)


def test_new_starts_a_library_and_never_touches_a_full_folder(run, tmp_path):
    target = tmp_path / "ours"
    code, out, _ = run("new", target, "--json")
    assert code == 0
    assert json.loads(out)["cards"] == len(list((target / "activities").rglob("*.md")))
    assert (target / "themes").is_dir()
    assert run("new", target)[0] == 1


def test_the_data_folder_is_refused_inside_the_library(run, paths):
    code, _, err = run("card", "check", "--library", paths.folder, "--data", paths.folder / "x")
    assert code == 2
    assert "inside the library" in err


def test_verify_lists_a_picture_of_no_card_and_calls_it_no_problem(run, places, paths):
    before = run("verify", *places)[0]
    (paths.activities / "water" / "lone-1.jpg").write_bytes(b"\xff\xd8\xff")
    code, out, _ = run("verify", *places, "--json")
    assert code == before
    assert json.loads(out)["lone_pictures"] == ["activities/water/lone-1.jpg"]
    assert "lone-1.jpg: no card names this picture" in run("verify", *places)[1]


def test_verify_opens_the_index_and_says_what_is_wrong_with_it(run, places, paths):
    """Before the first index there is none to be wrong; nothing is made by looking."""
    run("verify", *places)
    assert not paths.index.exists()
    run("index", *places)
    assert json.loads(run("verify", *places, "--json")[1])["index"] == []
    before = run("verify", *places)[1]
    (paths.index / "state.json").write_text("garbage")
    code, out, _ = run("verify", *places)
    assert code == 1
    assert "index: it cannot be opened" in out
    assert "lowshelf index --rebuild" in out
    assert (paths.index / "state.json").read_text() == "garbage"
    run("index", *places, "--rebuild")
    assert run("verify", *places)[1] == before


def test_verify_says_that_the_index_is_behind_and_calls_it_no_problem(run, places, paths):
    run("index", *places)
    code = run("verify", *places)[0]
    (file,) = (paths.activities / "water").glob("*.md")
    file.write_text(file.read_text() + "\nOne more line.\n")
    now, out, _ = run("verify", *places)
    assert now == code
    assert "index: 1 file is new, changed or gone" in out
    assert "lowshelf index" in out
