"""Attack strings in every field and in the body of a card: nothing runs, nothing is requested.

Source: 223 strings of a well-known sanitiser's own tests, LOWSHELF_REFERENCES/xss-payloads.json.
"""

import json
import os
from pathlib import Path

import pytest

from library.cards.card import field_order
from library.cards.parsing import change_card
from library.cards.values import MaterialLine, Step, Translation
from tests.builders import CARD_TEXT, a_card

TEXT_FIELDS = {
    "title": lambda text: text,
    "technique": lambda text: text,
    "by": lambda text: text,
    "centers": lambda text: (text,),
    "domains": lambda text: (text,),
    "props": lambda text: {"catcher": text},
    "materials": lambda text: (MaterialLine(text, "1 per setup"),),
    "steps": lambda text: (Step(text, 1),),
    "photos": lambda text: (text,),
    "es": lambda text: Translation(text, text),
}


def strings():
    folder = os.environ.get("LOWSHELF_REFERENCES")
    if not folder:
        return []
    found = json.loads((Path(folder) / "xss-payloads.json").read_text(encoding="utf-8"))
    rows = (
        found if isinstance(found, list) else next(v for v in found.values() if isinstance(v, list))
    )
    return [row if isinstance(row, str) else row["payload"] for row in rows]


def test_the_fields_are_those_of_the_catalogue():
    assert set(TEXT_FIELDS) <= set(field_order())


def test_nothing_runs_and_nothing_is_asked_for_elsewhere(serve, small, page):
    attacks = strings()
    if not attacks:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    for number, text in enumerate(attacks):
        line = (
            " ".join("".join(sign for sign in text if sign.isprintable() or sign == " ").split())
            or "x"
        )
        fields = {name: make(line) for name, make in TEXT_FIELDS.items()}
        card = a_card(f"attack-{number}", **{**fields, "body": f"{line}\n\n## {line}\n\n{text}"})
        (small.activities / f"attack-{number}.md").write_text(
            change_card(CARD_TEXT.replace("materials:", "own: 1\nmaterials:"), card),
            encoding="utf-8",
        )
    page.add_init_script(
        "window.alert = window.prompt = window.confirm = () => { window.ran = true; };"
    )
    served = serve(small)
    wrong = []
    for number in range(len(attacks)):
        answer = page.goto(f"{served.url}/activities/attack-{number}")
        if answer.status != 200 or page.evaluate("window.ran === true"):
            wrong.append((number, answer.status))
        live = page.locator(
            "main script, main iframe, main object, main embed, main img, main [onerror]"
        ).count()
        if live:
            wrong.append((number, "live markup"))
    for address in ("/", "/?limit=300", "/review", "/?q=script+alert"):
        page.goto(served.url + address)
        assert not page.evaluate("window.ran === true"), address
    assert wrong == []
