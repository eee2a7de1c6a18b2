"""What is estimated with draws comes with the page, and after a typed edit in a piece of its own."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.answers.ask import ESTIMATED, ORDER
from nibsmith.shop import demo
from nibsmith.shop.recipes.selectors import listed

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


@pytest.fixture
def address(db: None) -> str:
    demo.load()
    return reverse("recipes:recipe", args=[listed()[0].recipe.public_id])


def answers_in(body: str) -> list[str]:
    return re.findall(r'<article class="answer [a-z]+" id="answer-([a-z_]+)"', body)


def typed_form(body: str) -> dict[str, list[str]]:
    """Return what the form of the page holds, as a browser would send it."""
    form = body.partition('id="recipe-form"')[2].partition("</form>")[0]
    fields: dict[str, list[str]] = {}
    for tag in re.findall(r"<input[^>]*>|<select.*?</select>", form, re.DOTALL):
        name, kind = re.search(r'name="([^"]+)"', tag), re.search(r'type="([^"]+)"', tag)
        if name is None or (kind and kind[1] == "radio" and "checked" not in tag):
            continue
        chosen = re.search(r'<option value="([^"]*)"[^>]*selected', tag) or re.search(r'value="([^"]*)"', tag)
        fields.setdefault(name[1], []).append(chosen[1] if chosen else "")
    return fields


def test_the_page_itself_has_every_answer_in_the_order_of_a_maker(client: Client, address: str) -> None:
    body = client.get(address).content.decode()
    assert answers_in(body) == list(ORDER)
    assert 'id="estimates"' not in body


def test_a_typed_edit_leaves_the_estimates_to_a_second_piece(client: Client, address: str) -> None:
    form = typed_form(client.get(address).content.decode())
    assert form["amount"]
    body = client.post(address, form, headers={**HTMX, "HX-Target": "answers"}).content.decode()
    assert answers_in(body) == list(ORDER)
    for question in ESTIMATED:
        assert re.search(rf'id="answer-{question}" hx-preserve', body)
    assert re.search(rf'id="estimates"[^>]*hx-get="{address}estimates/" hx-trigger="load"', body)


def test_the_second_piece_holds_the_estimates_and_every_caution(client: Client, address: str) -> None:
    body = client.get(f"{address}estimates/", headers=HTMX).content.decode()
    assert answers_in(body) == list(ESTIMATED)
    assert body.count('hx-swap-oob="true"') == len(ESTIMATED) + 1
    assert "your own spoon decides" in body
    assert 'id="estimates"' not in body


def test_a_browser_that_comes_to_the_piece_by_itself_gets_the_page(client: Client, address: str) -> None:
    assert client.get(f"{address}estimates/").headers["Location"] == address


def test_a_remedy_for_the_flow_is_taken_with_one_click(client: Client, address: str) -> None:
    """The thick demo recipe, or a thickened one, pours after the first remedy that its answer offers."""
    form = typed_form(client.get(address).content.decode())
    form["amount"][0] = "47"
    client.post(address, form)
    body = client.get(address).content.decode()
    offered = body.partition('id="answer-pour"')[2].partition("</article>")[0]
    assert 'class="word">Pours.' not in offered
    sentence = re.search(r'name="sentence" value="(Add [^"]+)"', offered)
    assert sentence
    client.post(f"{address}remedy/", {"question": "pour", "sentence": sentence[1]})
    after = client.get(address).content.decode().partition('id="answer-pour"')[2]
    assert 'class="word">Pours.' in after.partition("</article>")[0]
