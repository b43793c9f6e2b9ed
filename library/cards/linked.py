"""A card as schema.org JSON-LD, so that other programs can read what it is."""

from __future__ import annotations

from typing import Any

from library.cards.card import Card
from library.cards.values import MaterialLine, When
from library.materials.material import Kind, MaterialBook

FRAMEWORK = "Head Start Early Learning Outcomes Framework: Ages Birth to Five"


def card_json_ld(card: Card, materials: MaterialBook, address: str = "") -> dict[str, Any]:
    """The card as ``["HowTo", "LearningResource"]``.

    Args:
        card: The card, dressed or not.
        materials: Tells tools (what lasts) from supplies (what is used up).
        address: Absolute address of the card's page; empty where it has none to share.

    Returns:
        A JSON object. Durations are ISO 8601; ages are whole years, as the property expects.
    """
    tools = [line for line in card.materials if _lasts(line, materials)]
    supplies = [line for line in card.materials if line not in tools]
    linked = {
        "@context": "https://schema.org",
        "@type": ["HowTo", "LearningResource"],
        "name": card.title,
        "description": card.summary,
        "url": address,
        "inLanguage": "en",
        "learningResourceType": "activity",
        "keywords": card.technique,
        "typicalAgeRange": _years(card),
        "prepTime": f"PT{card.prep_minutes}M",
        "performTime": f"PT{card.runs}M" if card.runs else "",
        "totalTime": f"PT{card.prep_minutes + card.runs}M" if card.runs else "",
        "supply": [_item("HowToSupply", line) for line in supplies],
        "tool": [_item("HowToTool", line) for line in tools],
        "step": [
            {"@type": "HowToStep", "text": step.do}
            for step in card.steps
            if step.on is not When.DAILY
        ],
        "teaches": list(card.domains),
        "educationalAlignment": [_alignment(code) for code in card.domains],
        "author": {"@type": "Organization", "name": card.by} if card.by else "",
    }
    return {key: value for key, value in linked.items() if value not in ("", [])}


def _lasts(line: MaterialLine, materials: MaterialBook) -> bool:
    known = materials.find(line.item)
    return known is not None and known.kind in (Kind.DURABLE, Kind.BOOK)


def _item(kind: str, line: MaterialLine) -> dict[str, str]:
    return {"@type": kind, "name": line.item, "requiredQuantity": line.amount}


def _alignment(code: str) -> dict[str, str]:
    return {
        "@type": "AlignmentObject",
        "alignmentType": "teaches",
        "educationalFramework": FRAMEWORK,
        "targetName": code,
    }


def _years(card: Card) -> str:
    low = card.ages.low // 12
    return f"{low}-" if card.ages.high is None else f"{low}-{card.ages.high // 12}"
