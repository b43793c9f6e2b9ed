"""Strikes words out of a question and tidies what is left: no dangling "or", no double comma."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from library.search.readers.text import NEGATORS, split_text

_JOINTS = frozenset("or nor and but plus".split())
_LEADS = NEGATORS | frozenset(
    "with using for in at on a an the my our some any to that uses needs about".split()
)
_PASSES = 4
"""More than four small words are never left dangling one behind the other."""


@dataclass(slots=True)
class _Kept:
    """A word that stays, with what stands before it."""

    written: str
    word: str
    before: str
    at_cut: bool
    """Whether something was struck out just before it."""

    @property
    def opens(self) -> bool:
        return "," in self.before or "." in self.before or ";" in self.before


def strike(text: str, spans: Sequence[tuple[int, int]]) -> str:
    """The text without some spans of it."""
    kept, cut_at_end = _kept(text, spans)
    for _ in range(_PASSES):
        kept = _without_dangling(kept, cut_at_end)
    return "".join(each.before * bool(at) + each.written for at, each in enumerate(kept))


def _kept(text: str, spans: Sequence[tuple[int, int]]) -> tuple[list[_Kept], bool]:
    kept: list[_Kept] = []
    end, cut, broken = 0, False, False
    for token in split_text(text):
        broken = broken or token.breaks
        if any(start <= token.start < stop for start, stop in spans):
            cut = True
        else:
            before = (", " if broken else " ") if cut else text[end : token.start]
            kept.append(_Kept(token.written, token.word, before, cut))
            cut = broken = False
        end = token.end
    return kept, cut


def _without_dangling(kept: list[_Kept], cut_at_end: bool) -> list[_Kept]:
    """The words without those that the cut left hanging, at the start or the end of a clause."""
    left: list[_Kept] = []
    for each, behind in _with_next(kept):
        at_cut = each.at_cut or (behind.at_cut if behind else cut_at_end)
        starts = not left or each.opens
        ends = behind is None or behind.opens
        hangs = (each.word in _JOINTS and (starts or ends or left[-1].word in _LEADS)) or (
            each.word in _LEADS and ends
        )
        if not (hangs and at_cut):
            left.append(each)
        elif behind is not None:
            behind.at_cut = True
            behind.before = each.before if each.opens else behind.before
    return left


def _with_next(kept: list[_Kept]) -> Iterator[tuple[_Kept, _Kept | None]]:
    for at, each in enumerate(kept):
        yield each, kept[at + 1] if at + 1 < len(kept) else None
