"""Attack strings in every field and in the body of a card: nothing runs, nothing is requested.

Source: 223 strings of a well-known sanitiser's own tests, LOWSHELF_REFERENCES/xss-payloads.json.
"""

import json
import os
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest
from bs4 import BeautifulSoup

from library.accounts.accounts import Accounts, Caller
from library.accounts.people import LONGEST_NAME, Role
from library.cards.card import field_order
from library.cards.parsing import change_card
from library.cards.values import MaterialLine, Step, Translation
from library.room.rooms import Rooms
from tests.builders import CARD_TEXT, a_card, a_room
from tests.server.pages import filled, soup
from tests.server.visiting import every_request, open_house, signed_in

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


KEPT = {"form_token", "fingerprint", "mark", "room", "do", "at"}
"""Fields without which a form is refused before anything that was typed is looked at."""
LEFT_OUT = {"door.sign_out", "room.remove", "room.load_example", "room.remove_example"}
"""Changes that would take away what the next form needs."""


def sent(form, text, *, all_fields):
    """What a browser would send for a form, with a text in every field that can be typed into; or in all."""
    fields = filled(form, "form")
    for field in form.select("input[name], textarea[name], select[name]"):
        typed = field.name == "textarea" or field.get("type", "text") in {"text", "search"}
        if field["name"] not in KEPT and (typed or all_fields):
            fields.setlist(field["name"], [text])
    return fields


@pytest.mark.timeout(300)
@pytest.mark.parametrize("all_fields", [False, True])
def test_no_form_shows_what_was_typed_as_anything_but_text(chromium, tmp_path, all_fields):
    """Every form of every page, in a real browser and without the policy that forbids scripts.

    What the server answers is put into a page of no address, so that whatever is not escaped runs
    or is asked for.
    """
    attacks = strings()
    if not attacks:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    app = open_house(tmp_path)
    context = chromium.new_context()
    page, asked = context.new_page(), []
    page.add_init_script(
        "window.alert = window.prompt = window.confirm = () => { window.ran = true; };"
    )
    page.goto("about:blank")
    page.on("request", lambda request: asked.append(request.url))

    def look(answer, where):
        if answer.mimetype != "text/html":
            return
        page.set_content(answer.get_data(as_text=True), wait_until="domcontentloaded")
        assert not page.evaluate("window.ran === true"), where
        live = page.locator("main :is(script:not([type]), iframe, object, embed, img, [onerror])")
        assert live.count() == 0, where
        assert asked == [], where

    lead, forms = signed_in(app, "Ada", Role.LEAD), 0
    once = {  # one address of each route, and every part of the room
        endpoint if endpoint != "room.edit" else address: address
        for endpoint, method, address in every_request(app)
        if method == "GET" and "." not in address and "no-such" not in address
    }
    pages = list(once.values())
    with_forms = [each for each in pages if b'method="post"' in lead.get(each, buffered=True).data]
    adapter = app.url_map.bind("192.168.7.7")
    groups = 1 if all_fields else 2
    for number in range(groups):
        text = " ".join(" ".join(attacks[number::groups]).split())
        for address in with_forms:
            for form in soup(lead.get(address)).select('form[method="post"]'):
                action = form.get("action") or address
                if adapter.match(urlsplit(action).path, "POST")[0] in LEFT_OUT:
                    continue
                whole = BeautifulSoup(str(form), "html.parser")
                data = sent(whole, text, all_fields=all_fields)
                look(lead.post(action, data=data), (action, number))
                lead = signed_in(app, "Ada", Role.LEAD)  # one of the forms signs her out
                forms += 1
    for address in pages:
        look(lead.get(address), address)
    context.close()
    assert forms > 60


def test_nothing_typed_into_the_form_of_a_card_runs(serve, small, page):
    """Every text of the form, on every page that shows it again: form, preview, card, file, review."""
    attacks = strings()
    if not attacks:
        pytest.skip("LOWSHELF_REFERENCES is not set")
    served = serve(small)
    page.provoked += ["409", "422"]
    page.add_init_script(
        "window.alert = window.prompt = window.confirm = () => { window.ran = true; };"
    )
    texts = ("technique", "by", "es.title", "es.summary", "es.read_by")
    rows = ("materials[0].item", "steps[0].do", "props[0].name", "props[0].word")
    wrong = []

    def nothing_ran(where):
        live = page.locator("main :is(script, iframe, object, embed, img, [onerror], [onload])")
        if page.evaluate("window.ran === true") or live.count():
            wrong.append(where)

    for number in range(7):
        line = " ".join(" ".join(attacks[number::7]).split())
        line = "".join(sign for sign in line if sign.isprintable())
        page.goto(f"{served.url}/activities/new")
        page.locator("#lines").evaluate("field => field.closest('details').open = true")
        page.locator("#lines").fill(line[:2000])
        page.get_by_role("button", name="Put it into the fields").click()
        page.get_by_text("Look at every field before you save").wait_for()
        nothing_ran((number, "lines"))
        page.locator("#rest").evaluate("fold => fold.open = true")
        page.locator("#title").fill(f"{number} {line}")
        for name in (*texts, *rows):
            page.locator(f"[name='{name}']").fill(line)
        for at in (0, 1, 7):
            page.locator(f"[name='parts[{at}].text']").fill(line)
        page.locator("#centers").select_option("water")
        for name, text in {
            "#ages": "24-48",
            "#prep": "1",
            "[name='steps[0].minutes']": "1",
        }.items():
            page.locator(name).fill(text)
        page.locator("[name='materials[0].amount']").fill("1 per setup")
        page.get_by_role("button", name="Preview").click()
        page.get_by_text("Not saved yet.", exact=True).wait_for()
        nothing_ran((number, "preview"))
        page.locator("[name='props[0].name']").fill("catcher")
        page.get_by_role("button", name="Preview").click()
        page.locator("main:not([aria-busy])").wait_for()
        page.locator("[name='new[0].kind']").select_option("book")
        page.locator("[name='new[0].loose']").select_option("no")
        page.locator("[name='new[0].label']").select_option("none")
        for _ in range(2):  # the second time where a card is much alike
            page.get_by_role("button", name="Save as a draft").last.click()
            page.locator("main:not([aria-busy])").wait_for()
            nothing_ran((number, "saved"))
            if not page.url.endswith("/new"):
                break
        card = page.url.rsplit("/", 1)[-1]
        assert card.startswith(f"{number}-"), page.locator("main").inner_text()[:500]
        page.locator("#text").fill(line[:2000])
        page.get_by_role("button", name="Keep it").click()
        for address in ("", "/edit", "/file", "/remove", "/rename"):
            page.goto(f"{served.url}/activities/{card}{address}")
            nothing_ran((number, address))
    page.goto(f"{served.url}/review")
    nothing_ran("review")
    assert wrong == []
