"""The local rules of a library: the shipped sets, and those in ``activities/rules``."""

from __future__ import annotations

from library.plan.rules import SHIPPED, RuleSet, read_rules, shipped_rules
from library.store.paths import LibraryPaths
from library.store.problems import Problem
from library.store.texts import read_texts

FOLDER = "activities/rules"


def read_rule_sets(paths: LibraryPaths) -> tuple[tuple[RuleSet, ...], tuple[Problem, ...]]:
    """The library's own sets first, each a YAML file, then the shipped ones."""
    texts, unread = read_texts(paths.folder, FOLDER, (".yaml", ".yml"))
    own, problems = [], list(unread)
    for file, text in texts:
        rules, wrong = read_rules(text, file)
        own.append(rules)
        problems.extend(wrong)
    return (*own, *(shipped_rules(name) for name in SHIPPED)), tuple(problems)
