"""Markdown becomes HTML that can only be read."""

import json
import os
import subprocess
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from library.cards.rendering import TAGS, render_markdown, split_sections


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[a](javascript:alert(1))",
        "[a](data:text/html,x)",
        "![a](data:image/svg+xml;base64,AAAA)",
        "<svg onload=alert(1)>",
        "[a]: javascript:alert(1)\n\n[a]",
        "<a href='vbscript:x'>y</a>",
    ],
)
def test_nothing_that_could_run_survives(text):
    page = BeautifulSoup(render_markdown(text), "html.parser")
    assert {tag.name for tag in page.find_all()} <= TAGS
    for tag in page.find_all():
        assert not any(name.startswith("on") for name in tag.attrs)
        assert not str(tag.get("href", "")).lower().startswith(("javascript", "data", "vbscript"))


def test_raw_html_is_shown_as_the_text_it_is():
    assert (
        BeautifulSoup(render_markdown("a <b>c</b>"), "html.parser").get_text().strip()
        == "a <b>c</b>"
    )


def test_the_attack_strings_of_a_published_collection_leave_no_live_markup():
    """Source: 223 strings of a well-known sanitiser's own tests, LOWSHELF_REFERENCES/xss-payloads.json."""
    folder = os.environ.get("LOWSHELF_REFERENCES")
    if not folder:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    payloads = json.loads((Path(folder) / "xss-payloads.json").read_text(encoding="utf-8"))
    texts = [row if isinstance(row, str) else row["payload"] for row in _rows(payloads)]
    assert len(texts) > 200
    for text in texts:
        page = BeautifulSoup(render_markdown(text), "html.parser")
        for tag in page.find_all():
            assert tag.name in TAGS, text
            assert set(tag.attrs) <= {"href", "title", "rel", "start"}, text
            assert str(tag.get("href", "")).split(":")[0].lower() not in {
                "javascript",
                "data",
                "vbscript",
            }


def _rows(payloads):
    return (
        payloads
        if isinstance(payloads, list)
        else next(v for v in payloads.values() if isinstance(v, list))
    )


def test_commonmark_examples_render_as_published_but_for_html_and_images():
    """Source: the CommonMark specification 0.31.2, npm package commonmark-spec."""
    node = os.environ.get("LOWSHELF_NODE")
    if not node:
        pytest.skip("LOWSHELF_NODE is not set")
    code = "console.log(JSON.stringify(require('commonmark-spec').tests))"
    done = subprocess.run(
        ["node", "-e", code], cwd=node, capture_output=True, text=True, check=True
    )
    examples = json.loads(done.stdout)
    assert len(examples) == 652
    differing: dict[str, int] = {}
    for example in examples:
        text = example["markdown"].replace("→", "\t")
        wanted = example["html"].replace("→", "\t")
        if _plain(render_markdown(text)) != _plain(wanted):
            differing[example["section"]] = differing.get(example["section"], 0) + 1
    assert differing == KNOWN_DIFFERENCES


KNOWN_DIFFERENCES = {
    "Backslash escapes": 1,
    "Entity and numeric character references": 1,
    "HTML blocks": 44,
    "Link reference definitions": 1,
    "Lists": 2,
    "Code spans": 1,
    "Emphasis and strong emphasis": 3,
    "Links": 7,
    "Images": 19,
    "Autolinks": 4,
    "Raw HTML": 13,
    "Hard line breaks": 2,
}
"""Section → examples that differ: raw HTML is shown as text, pictures and unusual links are left out."""


def _plain(html):
    """Structure and text without the attributes that the sanitiser adds or drops."""
    page = BeautifulSoup(html, "html.parser")
    for tag in page.find_all():
        tag.attrs = {
            name: value for name, value in tag.attrs.items() if name in {"href", "title", "start"}
        }
    return str(page).strip().replace("<blockquote>\n</blockquote>", "<blockquote></blockquote>")


def test_sections_keep_their_headings_and_order():
    sections = split_sections(
        "One sentence.\n\n## Set up\n\nA\n\n### Deep\n\nB\n\n## Pack away ##\nC"
    )
    assert [(s.heading, s.text) for s in sections] == [
        ("", "One sentence."),
        ("Set up", "A\n\n### Deep\n\nB"),
        ("Pack away", "C"),
    ]
