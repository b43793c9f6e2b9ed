"""Questions by somebody who had not seen the program: how many are read as she meant them.

``python -m tests.unseen`` lists those that are not.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import yaml

from library.cards.folder import CardFolder
from library.frameworks.everyday import domain_words
from library.frameworks.framework import head_start
from library.search.index import SearchIndex
from library.search.lexicon import vocabulary_of
from library.search.question import read_question
from library.search.vocabulary import Vocabulary
from library.store.paths import LibraryPaths
from tests.shelf import ROOT

QUESTIONS = Path(__file__).parent / "golden" / "unseen.yaml"


def starter_vocabulary(data: Path) -> Vocabulary:
    """What the starter library calls its things."""
    paths = LibraryPaths(ROOT, data)
    folder = CardFolder(paths)
    index = SearchIndex(paths, folder)
    index.refresh()
    return vocabulary_of(index.view, domain_words(head_start().goals), folder.centers()[0])


def is_as_meant(meant: dict[str, Any], read: dict[str, Any], vocabulary: Vocabulary) -> bool:
    """Whether a reading says what was meant, and no more.

    Lists count without their order; a word for several materials means them all.
    """
    if meant.keys() != read.keys():
        return False
    return all(_same(key, meant[key], read[key], vocabulary) for key in meant)


def _same(key: str, meant: Any, read: Any, vocabulary: Vocabulary) -> bool:
    if key == "domains" and meant == "any":
        return bool(read)
    if key not in {"with", "without", "centers"}:
        return bool(meant == read)
    families = {name for each in meant for name in vocabulary.family_of(each) or (each,)}
    return set(read) in (set(meant), families)


def misread(data: Path) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    """Each question that is read otherwise, with what was meant and what was read."""
    vocabulary = starter_vocabulary(data)
    for row in yaml.safe_load(QUESTIONS.read_text(encoding="utf-8")):
        read = read_question(row["ask"], vocabulary).conditions.as_read()
        if not is_as_meant(row["read"], read, vocabulary):
            yield row["ask"], row["read"], read


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        missed = [*misread(Path(folder))]
        for ask, meant, read in missed:
            sys.stdout.write(f"{ask}\n   meant {meant}\n   read  {read}\n")
        sys.stdout.write(f"{60 - len(missed)} of 60\n")
