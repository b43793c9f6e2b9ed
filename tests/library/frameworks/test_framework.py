"""Goals of a framework: the shipped one against its published counts, others from files."""

import re

import pytest

from library.frameworks.folder import read_frameworks
from library.frameworks.framework import Wording, goal_code, head_start, read_framework
from library.store.paths import LibraryPaths

PUBLISHED = {
    "IT-ATL": 9, "IT-SE": 13, "IT-LC": 13, "IT-C": 13, "IT-PMP": 11,
    "P-ATL": 13, "P-SE": 11, "P-LC": 7, "P-LIT": 6, "P-MATH": 10, "P-SCI": 6, "P-PMP": 6,
}  # fmt: skip
"""Goals a series in the Early Learning Outcomes Framework (2015); the last two preschool counts of
science and physical development are from memory."""


def test_the_shipped_framework_has_the_published_goals():
    goals = head_start().goals
    series = [goal.code.rpartition("-")[0] for goal in goals]
    assert {name: series.count(name) for name in PUBLISHED} == PUBLISHED
    assert len({goal.code for goal in goals}) == len(goals) == 118
    pattern = re.compile(r"^(IT|P)-(ATL|SE|LC|LIT|C|MATH|SCI|PMP)-[1-9][0-9]?$")
    assert all(pattern.match(goal.code) for goal in goals)
    assert all((goal.age == "infant-toddler") == goal.code.startswith("IT-") for goal in goals)


def test_areas_and_subdomains_are_as_many_as_published():
    """Five infant-toddler areas with 21 sub-domains, seven preschool areas with 24."""
    framework = head_start()
    assert len(framework.areas([30])) == 5
    assert len(framework.areas([36])) == 7
    assert len(framework.areas([30, 36])) == 12
    subdomains = {(g.age, g.area, g.subdomain) for g in framework.goals}
    assert len([s for s in subdomains if s[0] == "infant-toddler"]) == 21
    assert len([s for s in subdomains if s[0] == "preschool"]) == 24


def test_each_goal_says_how_sure_its_wording_is():
    statuses = [goal.status for goal in head_start().goals]
    assert [statuses.count(s) for s in Wording] == [92, 16, 10]
    assert head_start().find("IT-C-6").note == "wording from memory"
    assert head_start().find("IT-C-4").note == ""


def test_codes_read_with_a_blank_or_a_hyphen_and_are_kept_with_a_hyphen():
    """CMD6."""
    assert goal_code("IT-PMP 6") == goal_code("it-pmp-6") == "IT-PMP-6"
    assert head_start().find("IT-PMP 6") is head_start().find("IT-PMP-6")
    assert head_start().find("IT-PMP 99") is None


def test_at_36_months_the_preschool_series_begins():
    """FIND15: which series by the ages in the room."""
    toddler, older = head_start().find("IT-C-4"), head_start().find("P-SCI-1")
    assert (toddler.suits(35), toddler.suits(36)) == (True, False)
    assert (older.suits(35), older.suits(36)) == (False, True)


CSV = """\
code,age,domain,area,subdomain,title,status
H 1,,,Hands,,Squeezes and lets go,confirmed
H 2,,,Hands,,Pours from one thing into another,
"""
YAML = """\
- {code: H 1, area: Hands, title: Squeezes and lets go, status: confirmed}
- {code: H 2, area: Hands, title: Pours from one thing into another}
"""


@pytest.mark.parametrize(("text", "file"), [(CSV, "hands.csv"), (YAML, "hands.yaml")])
def test_another_framework_loads_from_csv_or_yaml(text, file):
    framework, problems = read_framework(text, file, "Hands")
    assert problems == ()
    assert [goal.code for goal in framework.goals] == ["H-1", "H-2"]
    assert framework.goals[1].suits(24)
    assert framework.goals[1].suits(60)


def test_all_problems_of_a_framework_file_are_told_and_the_rest_counts():
    text = CSV + "H 2,,,Hands,,Twice,\n,,,Hands,,No code,\nH 4,,,Hands,,Sure,perhaps\nH 5,,,,,,\n"
    framework, problems = read_framework(text, "hands.csv", "Hands")
    assert [goal.code for goal in framework.goals] == ["H-1", "H-2"]
    assert [(p.line, p.field) for p in problems] == [
        (4, "goals[2].code"),
        (5, "goals[3].code"),
        (6, "goals[4].status"),
        (7, "goals[5].area"),
        (7, "goals[5].title"),
    ]


def test_a_librarys_own_frameworks_stand_beside_the_shipped_one(tmp_path):
    paths = LibraryPaths(tmp_path, tmp_path / "data")
    folder = paths.activities / "frameworks"
    folder.mkdir(parents=True)
    (folder / "hands.csv").write_text(CSV)
    (folder / "broken.yaml").write_bytes(b"\xff\xfe")
    (folder / "notes.txt").write_text("no framework")
    frameworks, problems = read_frameworks(paths)
    assert [f.name for f in frameworks] == [head_start().name, "Hands"]
    assert [p.file for p in problems] == ["activities/frameworks/broken.yaml"]
