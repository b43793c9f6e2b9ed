"""What the documents list is what the program has."""

import tomllib

import pytest

from tests.docs import ROOT, TABLES, between


@pytest.mark.parametrize("name", TABLES)
def test_a_generated_table_is_up_to_date(name):
    """If this fails: python -m tests.docs."""
    assert between(name) == TABLES[name][1]()


def test_the_readme_begins_with_one_paragraph_that_states_the_job():
    lines = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")
    assert lines[0] == "# Lowshelf"
    assert lines[1].startswith("Lowshelf is ")


def test_nothing_but_what_belongs_stands_at_the_top():
    import subprocess

    done = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode:
        pytest.skip("not a Git checkout")
    top = {line.split("/")[0] for line in done.stdout.splitlines()}
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "Makefile", "pyproject.toml"}
    folders = {"library", "server", "activities", "tests", "themes"}
    assert {name for name in top if not name.startswith(".")} == allowed | folders


def test_the_guide_draws_the_packages_as_the_contract_has_them():
    contract = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]
    layers = [
        {name.strip().removeprefix("library.") for name in layer.split("|")}
        for layer in contract["contracts"][0]["layers"]
    ]
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (drawn,) = (line for line in guide.splitlines() if line.startswith("server → "))
    assert [set(step.split(", ")) for step in drawn.split(" → ")] == layers
