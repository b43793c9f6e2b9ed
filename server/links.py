"""Addresses of pages that several modules lead to."""

from __future__ import annotations

from typing import Any

from flask import url_for

from library.units.unit import Unit

RESERVED = {"new"}
"""Ids whose address, beside those of cards and of themes, is that of another page."""


def reachable_id(made: str, kind: str) -> str:
    """An id whose own page can be reached: ``new`` becomes ``new-card``.

    Args:
        made: The id that was made of a title.
        kind: What it is the id of, ``card`` or ``theme``.
    """
    return f"{made}-{kind}" if made in RESERVED else made


def unit_url(endpoint: str, unit: Unit, **values: Any) -> str:
    """The address of a page of one unit.

    Args:
        endpoint: Such as ``units.show``.
        unit: The unit.
        values: More of the address.
    """
    return url_for(endpoint, theme=unit.theme, name=unit.name, **values)
