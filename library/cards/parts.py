"""The body of a card in parts, so that one part can be rewritten and the others keep their bytes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from library.cards.rendering import Section

USUAL = ("Set up", "Invite", "Watch for", "Easier", "Harder", "Adaptations", "Pack away")
"""The usual headings, in the order in which they stand on a card."""
_HEADING = re.compile(r"^##[ \t]+(.+?)[ \t]*#*[ \t]*$", re.MULTILINE)


def parts_of(body: str) -> tuple[Section, ...]:
    """What stands before the first heading, also if that is nothing, then each heading with its text."""
    return tuple(Section(heading, _text(raw, heading)) for heading, raw in _pieces(body))


def usual_parts(body: str) -> tuple[Section, ...]:
    """The parts of a body, and an empty one for each usual heading that it lacks, in its usual place."""
    found = list(parts_of(body))
    for number, heading in enumerate(USUAL):
        if any(part.heading.casefold() == heading.casefold() for part in found):
            continue
        before = {each.casefold() for each in USUAL[:number]}
        places = [at for at, part in enumerate(found) if part.heading.casefold() in before]
        found.insert(max(places, default=0) + 1, Section(heading, ""))
    return tuple(found)


def change_parts(body: str, parts: Sequence[Section]) -> str:
    """The body with other parts; a part that says what it said before keeps its bytes.

    Args:
        body: The body as it is.
        parts: All of its parts in order; one without a text is left out.

    Returns:
        The new body; the very same text where nothing changed.
    """
    wanted = [part for part in parts if part.text.strip()]
    pieces = _pieces(body)
    known = [(Section(heading, _text(raw, heading)), raw) for heading, raw in pieces]
    if wanted == [part for part, _ in known if part.text]:
        return body
    written = []
    for part in wanted:
        at = next((at for at, (old, _) in enumerate(known) if old == part), None)
        written.append(known.pop(at)[1].strip("\n") if at is not None else _written(part, pieces))
    return "\n\n".join(written)


def _pieces(body: str) -> list[tuple[str, str]]:
    """Each heading with its bytes, its own line among them; the first has no heading."""
    found = list(_HEADING.finditer(body))
    starts = [match.start() for match in found] + [len(body)]
    pieces = [("", body[: starts[0]])]
    pieces += [
        (match[1], body[match.start() : end]) for match, end in zip(found, starts[1:], strict=True)
    ]
    return pieces


def _text(raw: str, heading: str) -> str:
    return (raw.partition("\n")[2] if heading else raw).strip()


def _written(part: Section, pieces: list[tuple[str, str]]) -> str:
    """A part that changed or is new; it keeps the blank line below its heading, or goes without."""
    if not part.heading:
        return part.text.strip()
    headed = [raw for heading, raw in pieces if heading == part.heading] or [
        raw for heading, raw in pieces if heading
    ]
    gap = "\n" if headed and not headed[0].partition("\n")[2].startswith("\n") else "\n\n"
    return f"## {part.heading}{gap}{part.text.strip()}"
