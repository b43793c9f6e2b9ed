"""JSON Schema of a card's front matter, so that editors can complete and check it."""

from __future__ import annotations

from typing import Any

from library.cards.card import catalogue


def card_schema() -> dict[str, Any]:
    """The schema, made from the catalogue of fields. Unknown keys are let be."""
    fields = catalogue()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Activity card",
        "type": "object",
        "required": [name for name, field in fields.items() if field.required],
        "properties": {
            name: {"description": f"{field.help}. Example: {field.example}", **field.schema}
            for name, field in fields.items()
        },
    }
