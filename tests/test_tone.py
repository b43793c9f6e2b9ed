"""Nothing the program says gives leave: no verdict, no tick. A person and the licence decide."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
VERDICTS = re.compile(
    r"\b(safe|safely|safer|unsafe|ok|okay|approved?|approves|allowed|compliant|complies|permitted"
    r"|certified|meets|guaranteed?|risk-free|nothing to worry|good to go|all clear)\b"
    r"|[✓✔✅☑👍🟢]",
    re.IGNORECASE,
)
NO_VERDICTS = re.compile(r"'unsafe-inline'|library\.safety|answer\.ok\b")
"""Words that are read by machines alone."""
EVERYDAY = re.compile(r"\b(meets|allowed)\b", re.IGNORECASE)
"""What a story of play may say of lines that meet; the program itself may not."""


def said_by_the_program() -> Iterator[tuple[str, str]]:
    """Every text in the code that is no docstring, and every line of templates, scripts and lists."""
    for file in sorted([*ROOT.glob("library/**/*.py"), *ROOT.glob("server/**/*.py")]):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and id(node) not in docs
            ):
                yield f"{file.relative_to(ROOT)}:{node.lineno}", node.value
    kinds = ("server/templates/**/*.html", "server/static/*.js", "library/**/*.yaml")
    for file in sorted(path for kind in kinds for path in ROOT.glob(kind)):
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
            yield f"{file.relative_to(ROOT)}:{number}", line


def said_by_cards() -> Iterator[tuple[str, str]]:
    """Every line of the cards, the themes and the materials."""
    for file in sorted([*ROOT.glob("activities/**/*.*"), *ROOT.glob("themes/**/*.md")]):
        if file.suffix in {".md", ".yaml"}:
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
                yield f"{file.relative_to(ROOT)}:{number}", EVERYDAY.sub("", line)


@pytest.mark.parametrize("said", [said_by_the_program, said_by_cards])
def test_nothing_gives_leave(said):
    texts = list(said())
    assert len(texts) > 1000
    found = [
        f"{where}: {text.strip()[:100]}"
        for where, text in texts
        if VERDICTS.search(NO_VERDICTS.sub("", text))
    ]
    assert not found


@pytest.mark.parametrize(
    "text",
    [
        "This is safe.",
        "OK",
        "Okay to use",
        "Approved",
        "allowed from 36 months",
        "✓",
        "It meets the rule",
    ],
)
def test_a_verdict_would_be_found(text):
    assert VERDICTS.search(text)


def test_words_that_only_hold_such_a_word_are_none():
    for text in (
        "Safety pins",
        "book",
        "broken",
        "Child Safety Protection Act",
        "token",
        "a meeting",
    ):
        assert not VERDICTS.search(text)


def test_no_picture_is_a_tick():
    """Levels are an octagon, a triangle and a dot; there is no sign for "nothing found"."""
    drawings = (ROOT / "server/static/centers.svg").read_text(encoding="utf-8")
    names = set(re.findall(r'<symbol id="([a-z-]+)"', drawings))
    assert {"stop", "caution", "note"} <= names
    assert {"tick", "check", "ok", "good", "done"}.isdisjoint(names)
    styles = " ".join(path.read_text(encoding="utf-8") for path in ROOT.glob("server/static/*.css"))
    assert "green" not in styles
