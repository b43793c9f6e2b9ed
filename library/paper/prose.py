"""Markdown of a card as blocks of a sheet: paragraphs, lists and bold words; nothing else is set."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from library.cards.card import Card
from library.cards.rendering import split_sections
from library.paper.blocks import Prose
from library.paper.text import Run

if TYPE_CHECKING:
    from markdown_it.token import Token


def sections_of(card: Card) -> dict[str, str]:
    """The card's text by heading in lower case, without the summary; equal headings are joined."""
    found: dict[str, str] = {}
    for section in split_sections(card.body):
        if section.heading:
            name = section.heading.casefold()
            found[name] = f"{found[name]}\n\n{section.text}" if name in found else section.text
    return found


def prose(text: str, size: float, *, after: float = 1.2) -> tuple[Prose, ...]:
    """A Markdown text as paragraphs; items of a list get a dot or their number.

    Args:
        text: Markdown.
        size: Of the type, in points.
        after: Space below each paragraph, in millimetres.
    """
    from markdown_it import MarkdownIt

    tokens = MarkdownIt("js-default", {"html": False}).parse(text)
    return tuple(_paragraphs(tokens, size, after))


def _paragraphs(tokens: list[Token], size: float, after: float) -> Iterator[Prose]:
    numbers: list[int] = []
    begins = False
    for token in tokens:
        if token.type in ("bullet_list_open", "ordered_list_open"):
            numbers.append(1 if token.type.startswith("ordered") else 0)
        elif token.type in ("bullet_list_close", "ordered_list_close"):
            numbers.pop()
        elif token.type == "list_item_open":
            begins = True
        elif token.type in ("code_block", "fence"):
            yield Prose(token.content.rstrip("\n"), size, after)
        elif token.type == "inline":
            runs = tuple(_runs(token.children or []))
            number = numbers[-1] if numbers and begins else 0
            if number:
                runs = (Run(f"{number}. "), *runs)
                numbers[-1] += 1
            yield Prose(runs, size, after, "dot" if begins and not number else "")
            begins = False


def _runs(tokens: list[Token]) -> Iterator[Run]:
    heavy = 0
    for token in tokens:
        if token.type == "strong_open":
            heavy += 1
        elif token.type == "strong_close":
            heavy -= 1
        elif token.type == "softbreak":
            yield Run(" ", bold=heavy > 0)
        elif token.type == "hardbreak":
            yield Run("\n", bold=heavy > 0)
        elif token.content:
            yield Run(token.content, bold=heavy > 0)
