"""Reads a page as a person would fill it in: its forms with what stands in them."""

from bs4 import BeautifulSoup
from werkzeug.datastructures import MultiDict


def soup(answer) -> BeautifulSoup:
    """The page of an answer."""
    return BeautifulSoup(answer.data, "html.parser")


def words(answer) -> str:
    """The text of a page's main part, with single blanks."""
    return " ".join(soup(answer).select_one("main").get_text(" ").split())


def filled(page: BeautifulSoup, selector: str = "form") -> MultiDict:
    """What a browser would send for a form: every field with what stands in it."""
    fields = MultiDict()
    for field in page.select_one(selector).select("input, select, textarea"):
        name, kind = field.get("name"), field.get("type")
        if not name or field.has_attr("disabled"):
            continue
        if field.name == "select":
            options = field.select("option")
            chosen = [each for each in options if each.has_attr("selected")] or options[:1]
            for each in chosen:
                fields.add(name, each.get("value", each.get_text()))
        elif kind in {"checkbox", "radio"}:
            if field.has_attr("checked"):
                fields.add(name, field.get("value", "on"))
        elif kind != "file":
            fields.add(name, field.get_text() if field.name == "textarea" else field.get("value"))
    return fields
