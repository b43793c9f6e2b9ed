"""Walks JSON-LD against the published schema.org vocabulary and names what does not belong."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

TEXTS = {"Text", "URL", "Date", "DateTime", "Duration", "Number", "Boolean", "Integer"}
DURATION = re.compile(r"^P(?:\d+D)?(?:T(?:\d+H)?(?:\d+M)?(?:\d+S)?)?$")


def faults(node: Any, vocabulary: dict[str, Any], where: str = "$") -> Iterator[str]:
    """What is wrong with a node: unknown or superseded names, properties or values out of place."""
    kinds = node.get("@type")
    kinds = kinds if isinstance(kinds, list) else [kinds]
    for kind in kinds:
        if kind not in vocabulary["types"]:
            yield f"{where}: unknown type {kind}"
    families = {family for kind in kinds for family in lineage(kind, vocabulary)}
    for name, value in node.items():
        if name.startswith("@"):
            continue
        known = vocabulary["properties"].get(name)
        if known is None:
            yield f"{where}.{name}: unknown property"
            continue
        if known.get("superseded_by"):
            yield f"{where}.{name}: superseded by {known['superseded_by']}"
        if not families & set(known["on"]):
            yield f"{where}.{name}: not a property of {kinds}"
        for entry in value if isinstance(value, list) else [value]:
            yield from _value_faults(entry, known["value"], vocabulary, f"{where}.{name}")


def lineage(kind: str, vocabulary: dict[str, Any]) -> set[str]:
    """A type and everything it descends from."""
    found = {kind}
    for parent in vocabulary["types"].get(kind, []):
        found |= lineage(parent, vocabulary)
    return found


def _value_faults(
    entry: Any, wanted: list[str], vocabulary: dict[str, Any], where: str
) -> Iterator[str]:
    if isinstance(entry, dict):
        if not lineage(entry.get("@type"), vocabulary) & set(wanted):
            yield f"{where}: found {entry.get('@type')}, expected {wanted}"
        yield from faults(entry, vocabulary, where)
    elif not TEXTS & set(wanted):
        yield f"{where}: found a text, expected {wanted}"
    elif wanted == ["Duration"] and not DURATION.match(str(entry)):
        yield f"{where}: found '{entry}', expected an ISO 8601 duration"
