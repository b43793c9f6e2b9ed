"""The words of the family letter, composed from the theme and the unit. Pure text, for a person to edit.

Nothing about children is in it: the room's allergens only decide what is left out, and nobody can
read from a thing that is not asked for whose allergy it was. Nothing is translated here; a second
language shows what the theme's words and the cards themselves say in it.
"""

from __future__ import annotations

from library.cards.card import Card
from library.cards.rendering import split_sections
from library.materials.allergens import tidy
from library.materials.material import Material
from library.materials.words import plural, singular
from library.paper.job import Job, day_words
from library.paper.prose import sections_of
from library.plan.stops import stops_on, to_fetch
from library.room.labels import labels_in
from library.safety.allergens import GLUTEN_CEREALS, GLUTEN_GRAINS, avoided_by, held
from library.supplies.lines import SupplyLine
from library.units.calendar import open_days
from library.units.theme import Song, Theme

MOST_ACTIVITIES = 6
"""Activities that one letter tells of in a sentence each; of others it has the titles."""
MOST_TITLES = 12
"""Titles of others; how many more there are stands behind them, and the posted plan has all."""
AT_HOME = 2
HOUSEHOLD = frozenset(("kitchen", "recycling", "outdoors"))
"""Where things come from that a home has (the key ``from`` of a material)."""
MOST_THINGS = 5
"""Of an idea for home."""
MOST_ASKED_FOR = 6
"""Things of one letter that families are asked for."""
LANGUAGES = {
    "es": ("Español", "lo que jugamos", "palabras", "traducción en borrador"),
    "vi": ("Tiếng Việt", "chúng tôi chơi gì", "từ ngữ", "bản dịch nháp"),
}
"""Name of a language in itself, what we play, words, draft translation."""
OTHERS = {
    "en": ("We also play: {}.", "{}; and {} more at school"),
    "es": ("También jugamos: {}.", "{}; y {} más en la escuela"),
    "vi": ("Chúng tôi cũng chơi: {}.", "{}; và {} trò nữa ở trường"),
}
"""Titles of what is not told of in a sentence, and how they end where there are more."""


def letter_text(job: Job) -> str:
    """The letter as plain text: a title, then parts with a heading line that ends in a colon."""
    parts = [
        _opening(job),
        _play(job),
        _words(job),
        _songs(job),
        _books(job),
        _at_home(job),
        _bring(job),
        f"With warm greetings,\n{job.room.name}" if job.room.name else "With warm greetings",
        *(_language(job, language) for language in job.room.languages),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _opening(job: Job) -> str:
    days = open_days(job.plan.unit, job.room)
    title, sections = _theme(job).title or job.title, _theme_sections(job)
    when = f" from {day_words(days[0])} to {day_words(days[-1])}" if len(days) > 1 else ""
    about = sections.get("", "").split("\n\n")[0]
    opening = f"{title}\n\nDear families,\n\nThis is what we are playing{when}."
    return f"{opening} {' '.join(about.split())}".strip()


def played(job: Job) -> tuple[Card, ...]:
    """The cards of the unit that stand on at least one day, once each, in its order.

    What a stop keeps from being put out is left out without a word.
    """
    standing = (p for p in job.plan.placed if p.days and not stops_on(job.plan, p))
    found = {p.card.id: p.card for p in standing if p.card}
    return tuple(found.values())


def _play(job: Job) -> str:
    cards = played(job)
    lines = [f"- {card.title}: {card.summary}" for card in cards[:MOST_ACTIVITIES]]
    lines += _others("en", [card.title for card in cards])
    return _part("What we play", lines)


def _others(language: str, titles: list[str]) -> list[str]:
    """A line on what is not told of in a sentence, so that no activity is left out unsaid."""
    rest = titles[MOST_ACTIVITIES:]
    also, more = OTHERS.get(language, OTHERS["en"])
    named, left = "; ".join(rest[:MOST_TITLES]), len(rest) - MOST_TITLES
    return [also.format(more.format(named, left) if left > 0 else named)] if rest else []


def _theme(job: Job) -> Theme:
    return job.plan.theme or Theme("", "")


def _words(job: Job) -> str:
    languages = ("en", *job.room.languages)
    lines = []
    for word in _theme(job).words:
        said = dict.fromkeys(word[language] for language in languages if word.get(language))
        lines.append(" – ".join(said))
    return _part("Words we use", [", ".join(lines)] if lines else [])


def _songs(job: Job) -> str:
    songs = [_song(song) for song in _theme(job).songs]
    return _part("What we sing", ["\n\n".join(songs)] if songs else [])


def _song(song: Song) -> str:
    """A song under its title, or by itself where its first line says the title already."""
    text = song.text.strip()
    begins = text.casefold().startswith(song.title.casefold())
    return text if begins else f"{song.title}\n{text}".strip()


def _books(job: Job) -> str:
    books = _theme(job).books
    return _part("Books", [f"- {b.title}{f', {b.author}' if b.author else ''}" for b in books])


# Two things to try at home, and what to bring


def _at_home(job: Job) -> str:
    """What the theme's own text has for home; else two of the unit's activities that suit a home."""
    if text := _allowed(job, _theme_sections(job).get("at home", "")):
        return _part("To try at home", [text])
    ideas = [f"- {card.title}: {_idea(job, card)}" for card in ideas_for_home(job)]
    return _part("To try at home", ideas)


def ideas_for_home(job: Job) -> tuple[Card, ...]:
    """Up to two cards of the unit that a home can do, those that take the least first.

    Every material comes from a kitchen, from recycling or from outdoors, and lists neither a hazard
    nor an allergen of a child of the room; prep is five minutes at most, and nothing has to dry
    or soak.
    """
    suiting = [card for card in played(job) if _suits_home(job, card)]
    suiting.sort(key=lambda card: (len(card.materials), card.prep_minutes))
    return tuple(suiting[:AT_HOME])


def _suits_home(job: Job, card: Card) -> bool:
    known = [job.plan.materials.find(line.item) for line in card.materials]
    things = [material for material in known if material is not None]
    return (
        len(things) == len(known)
        and len(things) <= MOST_THINGS
        and all(m.origin in HOUSEHOLD and not m.hazards and not _refused(job, m) for m in things)
        and card.prep_minutes <= 5
        and card.wait is None
    )


def _idea(job: Job, card: Card) -> str:
    things = ", ".join(dict.fromkeys(line.item for line in card.materials))
    needs = f" You need: {things}." if things else " You need nothing."
    invite = " ".join(sections_of(card).get("invite", "").split())
    return f"{card.summary}{needs} {invite}".strip()


def _bring(job: Job) -> str:
    things = things_to_bring(job)
    asked = f"Clean and no longer needed: {', '.join(things)}." if things else ""
    own = _allowed(job, _theme_sections(job).get("to bring", ""))
    return _part("What you could bring", [text for text in (own, asked) if text])


def things_to_bring(job: Job) -> tuple[str, ...]:
    """Things from recycling and outdoors that the unit needs and the shelf lacks.

    Whatever lists an allergen of a child of the room, or a hazard, or has a stop on it, is left out
    without a word. What is counted stands in the plural, or as "one" where one is enough.
    """
    found: list[str] = []
    for line in to_fetch(job.plan).lines:
        material = job.plan.materials.find(line.item)
        if material is None or line.buy <= 0 or material.hazards or _refused(job, material):
            continue
        if material.origin in ("recycling", "outdoors"):
            found.append(_asked_for(material, line))
    return tuple(found[:MOST_ASKED_FOR])


def _asked_for(material: Material, line: SupplyLine) -> str:
    measure = line.short.measure
    if measure and not material.item.endswith(measure):
        return material.item
    return f"one {material.item}" if line.buy <= 1 else plural(singular(material.item))


def _theme_sections(job: Job) -> dict[str, str]:
    """The theme's text by heading in lower case; what stands before the first has no name."""
    return {s.heading.casefold(): s.text.strip() for s in split_sections(_theme(job).body)}


def _allowed(job: Job, text: str) -> str:
    """A text for families, or nothing where it names what a child of the room must not meet.

    Looked for are the allergens themselves and every name of a material that lists one of them, each
    for one and for more than one.
    """
    refused = [m for m in job.plan.materials if _refused(job, m)]
    names = [name for material in refused for name in material.names]
    names += [name.replace("-", blank) for name in _avoided(job) for blank in "- "]
    return "" if labels_in(text, [*names, *map(plural, names)]) else text


def _avoided(job: Job) -> frozenset[str]:
    """The allergens of all children of the room, as written and as read; gluten is every grain of it."""
    told = frozenset(tidy(a) for child in job.room.children for a in child.allergens)
    avoided = told | avoided_by(job.room.children)
    grains = GLUTEN_CEREALS if job.plan.materials.eu else GLUTEN_GRAINS
    return avoided | grains if "gluten" in avoided else avoided


def _refused(job: Job, material: Material) -> bool:
    return not _avoided(job).isdisjoint(held(material.allergens, eu=job.plan.materials.eu))


# Second languages


def _language(job: Job, language: str) -> str:
    """What the theme's words and the cards say in a language; empty where they say nothing."""
    words = [word[language] for word in _theme(job).words if word.get(language)]
    cards = [card for card in played(job) if language == "es" and card.es and card.es.title]
    if not words and not cards:
        return ""
    name, play, said, draft = LANGUAGES.get(language, (language, "", "", ""))
    spoken = [card.es for card in cards if card.es]
    lines = [f"- {es.title}: {es.summary}".rstrip(": ") for es in spoken[:MOST_ACTIVITIES]]
    lines += _others(language, [es.title for es in spoken])
    unread = any(not es.read_by for es in spoken)
    noted = [f"({draft})"] if unread and draft else []
    parts = [
        _part(f"{name}: {play}".rstrip(": "), [*noted, *lines]) if lines else "",
        _part(f"{name}: {said}".rstrip(": "), [", ".join(words)]) if words else "",
    ]
    return "\n\n".join(part for part in parts if part)


def _part(heading: str, lines: list[str]) -> str:
    return "\n".join((f"{heading}:", *lines)) if lines else ""
