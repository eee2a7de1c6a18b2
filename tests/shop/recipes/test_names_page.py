"""The page of every name: what lacks, and a change that a click makes."""

from __future__ import annotations

import html
import re

import pytest
from django.test import Client

from nibsmith.science.legal import classes
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.common.workshop.services import update_workshop
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from nibsmith.shop.recipes.shown_names import show_names
from recipes_typed import draft, row

pytestmark = pytest.mark.django_db


def page_of(client: Client, version: RecipeVersion) -> str:
    return client.get(f"/recipes/{version.recipe.public_id}/names/").content.decode()


def test_every_name_of_the_chosen_markets_is_there(client: Client, dark: RecipeVersion) -> None:
    update_workshop(WorkshopSettings(markets=("eu", "us")))
    body = html.unescape(page_of(client, dark))
    for market in ("eu", "us"):
        for name in classes(market).values():
            assert name.name in body
    assert "Codex" not in body


def test_a_refused_name_has_a_button_or_says_why_not(dark: RecipeVersion) -> None:
    update_workshop(WorkshopSettings(markets=("eu", "us", "ca")))
    shown = show_names(open_version(dark), WorkshopSettings())
    refused = [name for market in shown.markets for name in market.names if name.verdict == "stop"]
    assert refused
    assert all((name.button is None) is bool(name.why_not) for name in refused)
    assert all(name.whys for name in refused)


def test_a_click_earns_the_name(client: Client, dark: RecipeVersion) -> None:
    body = page_of(client, dark)
    article = next(part for part in body.split("<article") if ">Milk chocolate<" in part)
    sentence = re.search(r'name="sentence" value="([^"]+)"', article)
    assert sentence is not None
    assert "milk powder" in sentence[1]
    client.post(
        f"/recipes/{dark.recipe.public_id}/remedy/",
        {"question": "names", "sentence": html.unescape(sentence[1])},
    )
    newest = selectors.newest(dark.recipe.public_id)
    (market,) = show_names(open_version(newest), WorkshopSettings()).markets
    assert {name.name: name.verdict for name in market.names}["Milk chocolate"] == "good"


def test_what_a_change_takes_out_wholly_leaves_no_row(client: Client) -> None:
    coconut = draft(row("cocoa_mass", "50"), row("sugar_granulated"), row("coconut_oil", "2"))
    version = services.create_recipe(coconut)
    offered = [
        name.button
        for market in show_names(open_version(version), WorkshopSettings()).markets
        for name in market.names
        if name.button is not None and name.button.sentence.startswith("Take out all the coconut oil")
    ]
    path = f"/recipes/{version.recipe.public_id}/remedy/"
    client.post(path, {"question": "names", "sentence": offered[0].sentence})
    labels = [part.label for part in selectors.newest(version.recipe.public_id).parts.all()]
    assert labels[:2] == ["cocoa_mass", "sugar_granulated"]
    assert "coconut_oil" not in labels


def test_the_recipe_page_leads_there(client: Client, dark: RecipeVersion) -> None:
    body = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert f"/recipes/{dark.recipe.public_id}/names/" in body
