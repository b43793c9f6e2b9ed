"""One module for each resource. They parse, call one library function, and choose a page."""

from __future__ import annotations

from importlib import import_module

from flask import Blueprint

RESOURCES = tuple(
    """
    find activities renaming photos writing plainfile removing themes units unitviews supplies prep
    clone lookback printing today jots room decisions materials review versions api api_plan
    api_review api_years status door own people trust
    """.split()
)
"""The modules of this package; a new resource is one word here."""


def blueprints() -> tuple[Blueprint, ...]:
    """Every resource."""
    return tuple(import_module(f"{__name__}.{name}").bp for name in RESOURCES)
