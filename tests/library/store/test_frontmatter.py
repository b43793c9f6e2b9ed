"""Front matter is read as people mean it, and changed only where it is meant."""

import pytest

from library.store.frontmatter import change_fields, dump_field, read_document, replace_body
from library.store.yamltext import load_yaml


def problems_of(text):
    return [(problem.line, problem.problem) for problem in read_document(text)[1]]


def test_plain_values_stay_text():
    """12:30, yes and dates mean what was written."""
    document, problems = read_document(
        "---\na: 12:30\nb: yes\nc: 2025-10-06\nd: 010\ne: ~\nf: 'no'\n---\n"
    )
    assert document.fields == {
        "a": "12:30",
        "b": "yes",
        "c": "2025-10-06",
        "d": "010",
        "e": None,
        "f": "no",
    }
    assert problems == []


def test_every_key_knows_its_line():
    document, _ = read_document(
        "---\ntitle: A\nsteps:\n  - {do: x}\n  - do: y\n    minutes: 2\n---\n"
    )
    assert document.line("title") == 2
    assert document.line("steps", 0, "do") == 4
    assert document.line("steps", 1, "minutes") == 6
    assert document.line("steps", 1, "nowhere") == 5


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("title: A\n", 1, "does not begin with ---"),
        ("---\ntitle: A\n", 3, "closing --- is missing"),
        ("---\n- a\n- b\n---\n", 2, "front matter is a list"),
        ("---\njust words\n---\n", 2, "front matter is a text"),
        ("---\na: 1\nb: 2\na: 3\n---\n", 4, "'a' is there twice, first in line 2"),
        ("---\na: 1\n\tb: 2\n---\n", 3, "tab"),
        ("---\na: [1\nb: 2\n---\n", 3, "not readable as YAML"),
        ("---\na: &x [1, 2]\nb: *x\n---\n", 3, "alias"),
        ("---\ntitle: one: two\n---\n", 2, "not readable as YAML"),
    ],
)
def test_a_broken_form_is_named_with_its_line(text, line, words):
    found = problems_of(text)
    assert len(found) == 1
    assert found[0][0] == line
    assert words in found[0][1]


def test_aliases_that_would_explode_are_refused_at_once():
    bomb = "a: &a [x, x]\n" + "".join(
        f"{new}: &{new} [{', '.join([f'*{old}'] * 9)}]\n"
        for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    loaded = load_yaml(bomb)
    assert any("alias" in problem.problem for problem in loaded.problems)
    assert len(loaded.problems) < 100


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_windows_line_ends_and_byte_order_marks_are_read(newline, mark):
    document, problems = read_document(
        mark + newline.join(["---", "title: A", "---", "", "Body", ""])
    )
    assert problems == []
    assert document.fields == {"title": "A"}
    assert document.body.strip() == "Body"


def test_changing_one_field_changes_its_lines_only():
    text = "---\r\n# first\r\ntitle: A   # name\r\nown: kept\r\nsteps:\r\n  - {do: x}\r\n\r\n# end\r\n---\r\nBody\r\n"
    changed = change_fields(text, {"title": "B: c"}, ("title", "prep", "steps"))
    assert changed == text.replace("title: A ", 'title: "B: c" ')
    more = change_fields(changed, {"prep": "5", "steps": None}, ("title", "prep", "steps"))
    assert more == changed.replace("own: kept", "own: kept").replace(
        "# name\r\n", "# name\r\nprep: 5\r\n"
    ).replace("steps:\r\n  - {do: x}\r\n", "")


def test_a_hash_inside_a_value_is_no_comment():
    text = "---\ntitle: 'A # b' # note\n---\n"
    assert change_fields(text, {"title": "C"}) == "---\ntitle: C # note\n---\n"


@pytest.mark.parametrize(
    "value",
    [
        "plain",
        "12:30",
        "a: b",
        "# no",
        "- x",
        "[x",
        "yes",
        "null",
        "",
        " pad ",
        "é ☂",
        "'q'",
        '"',
        "a\nb",
        "{x}",
        "@a",
        "trailing:",
    ],
)
def test_a_text_that_is_written_reads_back(value):
    lines = "\n".join(dump_field("k", value))
    assert (load_yaml(lines).value["k"] or "") == value


def test_the_body_changes_without_the_front_matter():
    assert (
        replace_body("---\r\na: 1 # x\r\n---\r\nold", "\nnew\n")
        == "---\r\na: 1 # x\r\n---\r\n\r\nnew\r\n"
    )
