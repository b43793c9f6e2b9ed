"""Values in the words of a page."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache

from library.cards.card import Card
from library.cards.centers import center_title
from library.cards.values import Adult

MESS = ("none", "wipe a table", "aprons and a mop", "change of clothes")
"""What each step of a card's mess means."""

LANGUAGES = {
    "ar": "Arabic", "bn": "Bengali", "de": "German", "en": "English", "es": "Spanish",
    "fa": "Persian", "fr": "French", "hi": "Hindi", "hmn": "Hmong", "ht": "Haitian Creole",
    "it": "Italian", "ja": "Japanese", "ko": "Korean", "pl": "Polish", "pt": "Portuguese",
    "ru": "Russian", "so": "Somali", "sw": "Swahili", "tl": "Tagalog", "tr": "Turkish",
    "uk": "Ukrainian", "ur": "Urdu", "vi": "Vietnamese", "zh": "Chinese",
}  # fmt: skip
"""What a page calls a language. Source: codes of ISO 639."""


STANDING = (
    (r"standing added to (\S+)", r"\1 stays as it is"),
    (r"standing taken out of (\S+)", r"\1 no longer stays as it is"),
    (r"standing moved from (\S+) to (\S+)", r"\1 no longer stays as it is; \2 stays as it is"),
    (r"standing at (\S+):", r"\1, which stays as it is:"),
)
"""What is said of a center that stays as it is, and how a page says it."""


def language_name(code: str) -> str:
    """The name of a language; its code where the page has no name for it."""
    return LANGUAGES.get(code, code)


def with_names(note: str, titles: Mapping[str, str], centers: Collection[str]) -> str:
    """What was done, with titles in place of keys and days as pages write them.

    Args:
        note: A phrase such as ``jug-line added to water``; what stands in quotes a person wrote.
        titles: Titles of cards by id.
        centers: Keys of centers.
    """
    named = {each: titles[each] for each in sorted(titles, key=len, reverse=True)}
    return re.sub(
        "“[^”]*”|[^“]+",
        lambda part: part[0] if part[0].startswith("“") else _named(part[0], named, centers),
        note,
    )


def _named(said: str, titles: Mapping[str, str], centers: Collection[str]) -> str:
    for plain, shown in STANDING if "standing " in said else ():
        said = re.sub(plain, shown, said)
    if titles:
        ids = "|".join(map(re.escape, titles))
        said = re.sub(rf"(?<![\w-])(?:{ids})(?![\w-])", lambda found: titles[found[0]], said)
    if centers:
        said = _mention_of(tuple(centers)).sub(lambda found: center_title(found[0]), said)
    return with_days(said)


@lru_cache(maxsize=32)
def _mention_of(centers: tuple[str, ...]) -> re.Pattern[str]:
    """Finds keys of centers where a sentence speaks of a place."""
    keys = "|".join(map(re.escape, sorted(centers, key=len, reverse=True)))
    begins = rf"(?:^|(?<=; ))(?:{keys})(?= stays| no longer|, which)"
    return re.compile(rf"(?<=( to| of| at|rom) )(?:{keys})(?![\w-])|{begins}")


def facts(card: Card) -> tuple[tuple[str, str], ...]:
    """What to know about a card at a glance: name and value."""
    rows = [
        ("prep", f"{card.prep_minutes} min"),
        ("ages", card.ages.in_words()),
        ("children at once", str(card.group).replace("-", " to ") if card.group else ""),
        (
            "adult",
            "within arm's reach" if card.adult is Adult.WITHIN_REACH else "within sight and sound",
        ),
        ("wait", card.wait.in_words() if card.wait else ""),
        ("keeps", card.keeps.in_words() if card.keeps else ""),
        ("stays", f"about {card.runs} min" if card.runs else ""),
        ("mess", MESS[card.mess]),
        ("where", "indoors or outdoors" if card.place == "either" else card.place.value),
    ]
    return tuple((name, value) for name, value in rows if value)


def weekday(day: dt.date) -> str:
    """``Mon``."""
    return f"{day:%a}"


def day(date: dt.date) -> str:
    """``6 Oct``."""
    return f"{date.day} {date:%b}"


def day_year(date: dt.date) -> str:
    """``6 Oct 2025``."""
    return f"{day(date)} {date.year}"


def day_span(days: tuple[dt.date, ...]) -> str:
    """``Mon 6 Oct`` or ``Mon 6 to Fri 10 Oct``."""
    first, last = days[0], days[-1]
    if first == last:
        return f"{weekday(first)} {day(first)}"
    start = (
        f"{weekday(first)} {first.day}"
        if first.month == last.month
        else f"{weekday(first)} {day(first)}"
    )
    return f"{start} to {weekday(last)} {day(last)}"


def long_day(date: dt.date | str) -> str:
    """``Thu 26 Nov 2026``; a text that is no date stays as it is."""
    if isinstance(date, str):
        try:
            date = dt.date.fromisoformat(date)
        except ValueError:
            return str(date)
    return f"{weekday(date)} {day_year(date)}"


WRITTEN_DAY = re.compile(
    r"\b(?:(?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day )?(\d{4}-\d\d-\d\d)\b", re.ASCII
)
"""A date as files and findings write it, with or without its weekday."""


def with_days(text: str) -> str:
    """A text with its dates as pages write them: ``Mon 11 Jan 2027``."""
    return WRITTEN_DAY.sub(lambda found: long_day(found[1]), text)


def day_spans(days: Iterable[dt.date]) -> str:
    """``Mon 11 to Fri 15 Jan, Mon 18 Jan``: days that follow each other as one span."""
    runs: list[list[dt.date]] = []
    for date in sorted(set(days)):
        if runs and date - runs[-1][-1] == dt.timedelta(days=1):
            runs[-1].append(date)
        else:
            runs.append([date])
    return ", ".join(day_span(tuple(run)) for run in runs)


def moment(at: dt.datetime) -> str:
    """``Mon 6 Oct 2025, 13:05`` on this computer's clock, which hangs where the room is."""
    here = at.astimezone()
    return f"{weekday(here.date())} {day_year(here.date())}, {here.strftime('%H:%M')}"
