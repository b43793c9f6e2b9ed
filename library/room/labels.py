"""Finds children's labels in text that is about to be shared."""

from __future__ import annotations

import re
from collections.abc import Iterable


def labels_in(text: str, labels: Iterable[str]) -> tuple[str, ...]:
    """The labels that stand in a text as words of their own, in any case.

    A label may also be an everyday word, so this is a question to the person who saves, never
    a refusal.

    Args:
        text: Text that would be saved into the library folder, or exported.
        labels: Labels of every room.
    """
    return tuple(
        label
        for label in dict.fromkeys(labels)
        if label and re.search(rf"(?<!\w){re.escape(label)}(?!\w)", text, re.IGNORECASE)
    )
