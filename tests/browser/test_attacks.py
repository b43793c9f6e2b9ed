"""Attack strings in every field and in the body of a card: nothing runs, nothing is requested.

Source: 223 strings of a well-known sanitiser's own tests, LOWSHELF_REFERENCES/xss-payloads.json.
"""

import json
import os
from pathlib import Path
from urllib.parse import urlencode

import pytest

from library.accounts.accounts import Accounts, Caller
from library.accounts.people import LONGEST_NAME, Role
from library.cards.card import field_order
from library.cards.parsing import change_card
from library.cards.values import MaterialLine, Step, Translation
from library.room.rooms import Rooms
from tests.builders import CARD_TEXT, a_card, a_room

GOOD = "lantern gravel otter nine"

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


def test_nothing_typed_at_the_door_or_about_people_runs(serve, small, page):
    """Names, passwords, codes, links and rooms, each shown again by the page that refuses or lists it."""
    attacks = strings()
    if not attacks:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    accounts = Accounts(small.database)
    lead = accounts.accept(accounts.first_link(), "Ada", GOOD, Caller("10.0.0.1"))[0]
    for number in range(9):
        Rooms(small.database).save(a_room(name=" ".join(attacks[number::9])))
    for number, text in enumerate(attacks):
        name = "".join(sign for sign in text if sign.isprintable())[: LONGEST_NAME - 4]
        accounts.staff.add(f"{number} {name}", Role.READER, (), "no password")
        accounts.invitations.invite(f"{number} {text}", Role.READER, ())
        accounts.audit.note(f"{number} {text}", text, text[:40])
    served = serve(small, "--host", "0.0.0.0", "--without-https")
    page.provoked += ["403", "404", "422", "429"]
    page.add_init_script(
        "window.alert = window.prompt = window.confirm = () => { window.ran = true; };"
    )

    def nothing_ran(where):
        live = page.locator("main :is(script, iframe, object, embed, img, [onerror], [onload])")
        assert not page.evaluate("window.ran === true"), where
        assert live.count() == 0, where

    for number in range(28):
        text = " ".join(" ".join(attacks[number::28]).split())
        page.goto(f"{served.url}/sign-in?{urlencode({'next': '/' + text[:2000]})}")
        page.locator("#name").fill(text)
        page.locator("#password").fill("wrong")
        page.locator("main button").click()
        assert page.locator("#name").input_value() == text
        nothing_ran(number)
    page.goto(f"{served.url}/join?link={accounts.link_for(lead.name)[1]}")
    page.locator("#password").fill(GOOD)
    page.locator("main button").click()
    page.wait_for_url(f"{served.url}/")
    for address in ("/people", "/people/list", "/people/list?before=150", "/account", "/room"):
        page.goto(served.url + address)
        assert page.locator("main h1").is_visible(), address
        nothing_ran(address)
    assert page.locator("main").inner_text().count("onerror") > 0
