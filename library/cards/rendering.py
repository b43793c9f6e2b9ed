"""Markdown of a card to HTML that can do nothing but be read."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt

TAGS = {
    "p", "br", "hr", "em", "strong", "s", "code", "pre", "blockquote", "ul", "ol", "li", "a",
    "h1", "h2", "h3", "h4", "h5", "h6", "table", "thead", "tbody", "tr", "th", "td",
}  # fmt: skip
SCHEMES = {"http", "https", "mailto"}
_HEADING = re.compile(r"^##\s+(.+?)\s*#*$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a card's body: what stands under one heading."""

    heading: str
    """Empty for what stands before the first heading."""
    text: str
    """Markdown."""


def render_markdown(text: str) -> str:
    """HTML of a Markdown text: raw HTML is shown as text, pictures and unusual links are left out."""
    import nh3

    return nh3.clean(
        _parser().render(text),
        tags=TAGS,
        attributes={"a": {"href", "title"}, "ol": {"start"}},
        url_schemes=SCHEMES,
        link_rel="noopener noreferrer nofollow",
    )


def split_sections(body: str) -> list[Section]:
    """The body by its second-level headings, in order; headings keep their words."""
    parts = _HEADING.split(body)
    sections = [Section("", parts[0].strip())] if parts[0].strip() else []
    sections += [
        Section(heading, text.strip())
        for heading, text in zip(parts[1::2], parts[2::2], strict=True)
    ]
    return sections


@cache
def _parser() -> MarkdownIt:
    from markdown_it import MarkdownIt

    return MarkdownIt("js-default", {"html": False, "linkify": False}).disable("image")
