"""A card that is being typed: fields as texts, and the card and problems they make.

What is typed goes the same way as a file: it is written as one and read by the one parser, so a
form and a file can never disagree about what a value means.
"""

from __future__ import annotations

from collections.abc import Mapping

from library.cards.card import Card, field_order
from library.cards.parsing import Parsed, parse_card, plain_fields
from library.store.frontmatter import change_fields, read_document, replace_body
from library.store.yamltext import Plain


def card_from_typed(fields: Mapping[str, Plain], body: str, file: str) -> Parsed:
    """The card that some fields make, and everything in them that cannot be read.

    Args:
        fields: Values by the names of the catalogue, as they would stand in a file; what is
            empty is left out.
        body: Markdown below the fields.
        file: Path within the library folder; its stem is the card's id.
    """
    filled: dict[str, object] = {
        name: fields[name] for name in field_order() if fields.get(name) not in (None, "", [], {})
    }
    if "materials" not in filled:
        filled["materials"] = []
    text = change_fields("---\n---\n", filled, field_order())
    return parse_card(replace_body(text, f"\n{body}\n" if body else ""), file)


def typed_fields(card: Card, text: str) -> dict[str, Plain]:
    """The fields of a card as one would type them.

    What the file says in other words than the program would (``2y-4y``), and what cannot be read
    there, comes as it is written.

    Args:
        card: The card that was read from the text.
        text: The text of its file.
    """
    raw = read_document(text)[0].fields
    wrong = {problem.field.partition("[")[0] for problem in card.problems}
    found: dict[str, Plain] = {}
    for name, value in plain_fields(card).items():
        there = raw.get(name)
        keep = isinstance(there, str) and not isinstance(value, list | dict)
        found[name] = there if keep or (name in wrong and there is not None) else _plain(value)
    for name in wrong & set(field_order()) - set(found):
        found[name] = raw.get(name)
    return found


def _plain(value: object) -> Plain:
    if isinstance(value, dict):
        return {str(key): _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, bool):
        return "true" if value else "false"
    return None if value is None else str(value)
