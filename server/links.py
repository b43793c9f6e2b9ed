"""Addresses of pages that several modules lead to."""

from __future__ import annotations

from typing import Any

from flask import url_for

from library.units.unit import Unit


def unit_url(endpoint: str, unit: Unit, **values: Any) -> str:
    """The address of a page of one unit.

    Args:
        endpoint: Such as ``units.show``.
        unit: The unit.
        values: More of the address.
    """
    return url_for(endpoint, theme=unit.theme, name=unit.name, **values)
