"""What teachers call domains in everyday speech → the goals that are meant.

Common practice, no source: the words are the trade's, which goals they touch is our reading of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from library.frameworks.framework import Goal, goal_code

EVERYDAY: Mapping[str, tuple[str, ...]] = {
    "fine motor": ("IT-PMP-6", "IT-PMP-7", "IT-PMP-8", "P-PMP-3"),
    "small muscles": ("IT-PMP-6", "IT-PMP-7", "IT-PMP-8", "P-PMP-3"),
    "hand-eye coordination": ("IT-PMP-6",),
    "gross motor": ("IT-PMP-3", "IT-PMP-4", "IT-PMP-5", "P-PMP-1", "P-PMP-2"),
    "large motor": ("IT-PMP-3", "IT-PMP-4", "IT-PMP-5", "P-PMP-1", "P-PMP-2"),
    "big muscles": ("IT-PMP-3", "IT-PMP-4", "IT-PMP-5", "P-PMP-1", "P-PMP-2"),
    "counting": ("IT-C-8", "P-MATH-1", "P-MATH-2", "P-MATH-3"),
    "number sense": ("IT-C-8", "P-MATH-1", "P-MATH-2", "P-MATH-3"),
    "early math": ("IT-C-8", "IT-C-9", "IT-C-10", "P-MATH"),
    "math": ("IT-C-8", "IT-C-9", "IT-C-10", "P-MATH"),
    "maths": ("IT-C-8", "IT-C-9", "IT-C-10", "P-MATH"),
    "sorting": ("IT-C-10", "P-SCI-3"),
    "matching": ("IT-C-10",),
    "pretend play": ("IT-C-12", "IT-C-13", "P-ATL-13"),
    "early literacy": ("IT-LC-9", "IT-LC-10", "IT-LC-11", "IT-LC-12", "IT-LC-13", "P-LIT"),
    "pre-writing": ("IT-LC-13", "P-LIT-6"),
    "vocabulary": ("IT-LC-7", "IT-LC-8", "P-LC-6", "P-LC-7"),
    "language": ("IT-LC", "P-LC"),
    "language development": ("IT-LC", "P-LC"),
    "social emotional": ("IT-SE", "P-SE"),
    "social-emotional": ("IT-SE", "P-SE"),
    "self-regulation": ("IT-ATL-1", "IT-ATL-2", "P-ATL-1", "P-ATL-4", "P-ATL-5"),
    "problem solving": ("IT-C-6", "IT-C-7"),
    "cause and effect": ("IT-C-2",),
    "turn taking": ("IT-SE-5", "P-SE-4"),
}


def domain_words(goals: Iterable[Goal]) -> dict[str, tuple[str, ...]]:
    """Everyday words, and the names of areas and sub-domains, each with codes of goals."""
    named: dict[str, list[str]] = {}
    for goal in goals:
        for name in (goal.area, goal.subdomain):
            if name and " " in name:
                named.setdefault(name.lower(), []).append(goal_code(goal.code))
    return {**{name: tuple(dict.fromkeys(codes)) for name, codes in named.items()}, **EVERYDAY}
