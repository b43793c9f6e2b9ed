"""Asks before a text that names a child goes into the library folder, which others see too."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from flask import Response, render_template
from werkzeug.datastructures import MultiDict

from library.room.labels import labels_in
from server.shelf import shelf

KNOWN = "labels_known"
"""Field that says that a label in the text is just a word."""


def named_children(
    form: MultiDict[str, str], texts: Mapping[str, str], before: Iterable[str] = ()
) -> dict[str, tuple[str, ...]]:
    """The labels in each text that is new, by the name of its field; empty: nothing to ask.

    Args:
        form: The form; where it says that the words are known, nothing is asked again.
        texts: The texts that would be saved, by the names of their fields.
        before: What stands there already.
    """
    if form.get(KNOWN):
        return {}
    labels, known = shelf().rooms.labels(), set(before)
    found = {name: labels_in(text, labels) for name, text in texts.items() if text not in known}
    return {name: named for name, named in found.items() if named}


def labels_named(
    form: MultiDict[str, str], texts: Mapping[str, str], before: Iterable[str] = ()
) -> list[str]:
    """The labels in texts that are new, each once; as :func:`named_children` finds them."""
    found = named_children(form, texts, before)
    return list(dict.fromkeys(label for labels in found.values() for label in labels))


def ask_about_choice(labels: Iterable[str], back: str) -> Response:
    """The question where texts were chosen and not typed: the same choice again, or save it.

    Args:
        labels: The labels that stand in what was chosen.
        back: Where to go without saving.
    """
    page = render_template("labels_chosen.html", labels=tuple(labels), back=back, known=KNOWN)
    return Response(page, 422, {"Cache-Control": "no-store"})


def ask_about(asked: Mapping[str, tuple[str, ...]], back: str) -> Response:
    """The question, with the texts to change and everything else that was typed kept.

    It names a child, so no browser keeps it.

    Args:
        asked: The labels by the name of the field.
        back: Where to go without saving.
    """
    page = render_template("labels.html", asked=asked, back=back)
    return Response(page, 422, {"Cache-Control": "no-store"})
