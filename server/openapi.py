"""The description of ``/api/`` as an OpenAPI document, made from one table of endpoints."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from library import __version__
from library.search.facets import FACETS
from library.units.unit import MAX_NAME

TEXT: dict[str, Any] = {"type": "string"}
COUNT: dict[str, Any] = {"type": "integer", "minimum": 0}
PLACES: dict[str, dict[str, Any]] = {
    "card_id": {"description": "The stem of a card's file.", "example": "sponge-rain"},
    "theme_id": {"description": "The name of a theme's folder.", "example": "leaves-and-wind"},
    "name": {"description": "The stem of a unit's file.", "example": "2025-fall"},
    "part": {
        "description": "needs, shopping, to-print, to-borrow, closet or pack-away.",
        "example": "shopping",
    },
}
"""What stands in an address, with the name of something in the starter library."""
NAME: dict[str, Any] = {
    "type": "string",
    "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$",
    "maxLength": MAX_NAME,
}
TEXTS: dict[str, Any] = {"type": "array", "items": TEXT}
OBJECT: dict[str, Any] = {"type": "object"}
OBJECTS: dict[str, Any] = {"type": "array", "items": OBJECT}


@dataclass(frozen=True, slots=True)
class Endpoint:
    """One address that answers with JSON."""

    path: str
    summary: str
    properties: dict[str, dict[str, Any]]
    """Keys of the answer that are always there, each with its schema."""
    query: dict[str, dict[str, Any]] = field(default_factory=dict)
    """What may be asked in the address."""


ENDPOINTS: tuple[Endpoint, ...] = (
    Endpoint(
        "/api/status",
        "How far the reading of cards has come.",
        {"ready": {"type": "boolean"}, "read": COUNT, "total": COUNT},
    ),
    Endpoint(
        "/api/search",
        "Finds activities by a question in plain English.",
        {
            "total": COUNT,
            "read_as": OBJECT,
            "did_you_mean": {"type": ["string", "null"]},
            "results": OBJECTS,
            "facets": OBJECT,
        },
        {
            "q": {"type": "string", "maxLength": 2000},
            "limit": {"type": "integer", "minimum": 0, "maximum": 1000, "default": 20},
            "sort": {"type": "string", "enum": ["fit", "prep", "newest"]},
            "for": {"type": "string", "enum": ["room"]},
            **{facet.name: TEXT for facet in FACETS},
        },
    ),
    Endpoint(
        "/api/activities",
        "Ids and titles of the cards.",
        {"total": COUNT, "activities": OBJECTS},
        {
            "limit": {"type": "integer", "minimum": 0, "maximum": 1000},
            "offset": {"type": "integer", "minimum": 0, "maximum": 1000000},
        },
    ),
    Endpoint(
        "/api/activities/{card_id}",
        "One card with its fields.",
        {"id": TEXT, "title": TEXT, "centers": TEXTS, "body": TEXT},
    ),
    Endpoint("/api/centers", "The learning centers.", {"centers": OBJECTS}),
    Endpoint("/api/materials", "What things are like.", {"materials": OBJECTS}),
    Endpoint("/api/themes", "Every theme with its units.", {"themes": OBJECTS}),
    Endpoint("/api/themes/{theme_id}", "One theme.", {"id": TEXT, "title": TEXT, "units": TEXTS}),
    Endpoint(
        "/api/units/{theme_id}/{name}",
        "One unit with its placements.",
        {"id": TEXT, "starts": {"type": "string", "format": "date"}, "placements": OBJECTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/check",
        "What the checks find for the current room; what it says of allergens names children.",
        {"unit": TEXT, "findings": OBJECTS, "ages": OBJECTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/totals",
        "What a plan adds up to: prep by week, adults by day and block, goals, empty centers, cards.",
        {
            "unit": TEXT,
            "prep": OBJECTS,
            "adults": OBJECTS,
            "goals_met": TEXTS,
            "goals_in_all": COUNT,
            "centers_empty": TEXTS,
            "new_cards": TEXTS,
            "used_cards": TEXTS,
        },
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/goals",
        "How many placements serve each goal of each framework, week by week, and the gaps.",
        {"unit": TEXT, "frameworks": OBJECTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/local-rules",
        "What local rules ask a posted plan to name, and what it names; never that one is kept.",
        {"unit": TEXT, "rules": OBJECTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/one-adult-fewer",
        "What to close or swap on a day with fewer adults.",
        {
            "unit": TEXT,
            "day": {"type": "string", "format": "date"},
            "adults": COUNT,
            "blocks": OBJECTS,
        },
        {
            "day": {"type": "string", "format": "date"},
            "adults": {"type": "integer", "minimum": 0, "maximum": 30},
        },
    ),
    Endpoint(
        "/api/review",
        "What waits for a person: drafts, files to mend, what to measure, cards alike, cards unused.",
        {
            "drafts": OBJECTS,
            "problems": OBJECTS,
            "unmeasured": OBJECTS,
            "alike": OBJECTS,
            "unused": OBJECTS,
            "pictures": TEXTS,
        },
    ),
    Endpoint(
        "/api/room",
        "What is known of the room in numbers and plain facts; it names no child.",
        {"room": TEXT, "adults": COUNT, "children": COUNT, "centers": TEXTS, "closed": TEXTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/supplies",
        "What a unit needs, what is on hand and what to buy; without lines where amounts clash.",
        {"unit": TEXT, "problems": OBJECTS},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/prep",
        "Which step of prep is done in which window, and what will not fit.",
        {
            "unit": TEXT,
            "feasible": {"type": "boolean"},
            "late_minutes": COUNT,
            "sessions": OBJECTS,
            "late": OBJECTS,
            "missing": TEXTS,
        },
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/clone",
        "What a clone of a unit would be, and what is found in it; nothing is written.",
        {
            "unit": TEXT,
            "placements": OBJECTS,
            "left_out": OBJECTS,
            "changed": OBJECTS,
            "moved": OBJECTS,
            "findings": OBJECTS,
            "new_findings": {"type": "array", "items": COUNT},
        },
        {"starts": {"type": "string", "format": "date"}, "to": TEXT, "name": TEXT},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/years",
        "The units that one was made from, what was said of each, and what changed.",
        {"unit": TEXT, "years": OBJECTS},
    ),
    Endpoint(
        "/api/versions",
        "The versions of a file that is named, and the files that were removed.",
        {"file": TEXT, "versions": OBJECTS, "removed": OBJECTS},
        {"file": TEXT},
    ),
    Endpoint(
        "/api/units/{theme_id}/{name}/supplies/{part}",
        "The rows of one list of supplies.",
        {"unit": TEXT, "list": TEXT, "tables": OBJECTS},
    ),
    Endpoint("/api/openapi.json", "This description.", {"openapi": TEXT, "paths": OBJECT}),
)
"""Every address; a test holds it against the routes of the app."""

ERROR: dict[str, Any] = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["status", "message", "problems"],
            "properties": {"status": {"type": "integer"}, "message": TEXT, "problems": OBJECTS},
        }
    },
}


def openapi_document() -> dict[str, Any]:
    """The whole document."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Lowshelf",
            "version": __version__,
            "description": "The library as JSON.",
        },
        "paths": {endpoint.path: {"get": _operation(endpoint)} for endpoint in ENDPOINTS},
        "components": {"schemas": {"Error": ERROR}},
    }


def _operation(endpoint: Endpoint) -> dict[str, Any]:
    names = [part[1:-1] for part in endpoint.path.split("/") if part.startswith("{")]
    wrong = {"$ref": "#/components/schemas/Error"}
    return {
        "summary": endpoint.summary,
        "parameters": [
            *(
                {"name": name, "in": "path", "required": True, "schema": NAME, **PLACES[name]}
                for name in names
            ),
            *(
                {"name": name, "in": "query", "schema": schema}
                for name, schema in endpoint.query.items()
            ),
        ],
        "responses": {
            "200": {
                "description": "Done.",
                "content": {
                    "application/json": {
                        "schema": {
                            "type": "object",
                            "required": list(endpoint.properties),
                            "properties": endpoint.properties,
                        }
                    }
                },
            },
            "default": {
                "description": "What was wrong, in one shape.",
                "content": {"application/json": {"schema": wrong}},
            },
        },
    }
