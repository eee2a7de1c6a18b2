"""Broken and unseen signs in any form are refused beside their field; nothing is saved or lost."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from django.db.models import Model
from django.test import Client

from nibsmith.shop.batches.models import Batch
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.kit.models import Fridge, Mould, OwnKit, Probe
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.models import Recipe, RecipeVersion
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.stock.models import OwnIngredient
from recipes_typed import DARK, draft, form_of

pytestmark = pytest.mark.django_db

LOST = "%ED%A0%80bad"  # half of a pair, as UTF-8 that cannot be
TURNED = "knurd%E2%80%AE"  # U+202E turns what follows round
URLENCODED = "application/x-www-form-urlencoded"


def refused(client: Client, path: str, fields: Mapping[str, str], field: str, value: str) -> str:
    """Send a form with a strange text; return what is said beside the field."""
    sent = "&".join(f"{key}={text}" for key, text in {**fields, field: value}.items())
    response = client.post(path, sent, content_type=URLENCODED)
    assert response.status_code == 422
    body = response.content.decode()
    assert ("bad" if value == LOST else "knurd") in body
    beside = re.search(rf'id="(?:error-{field}|id_{field}_error)"[^>]*>(.*?)</', body, re.DOTALL)
    assert beside, body
    return beside[1]


NIBS = {"kind": "cocoa_nib", "stage": "start", "grind": "refined"}
FORMS: tuple[tuple[str, dict[str, str], str, type[Model]], ...] = (
    ("/stock/new/", NIBS, "name", OwnIngredient),
    ("/stock/new/", {**NIBS, "name": "Nibs"}, "note", OwnIngredient),
    ("/kit/new/", {"based_on": "stone"}, "name", OwnKit),
    ("/kit/moulds/new/", {"cavity_g": "70 g", "cavities": "8"}, "name", Mould),
    ("/kit/fridges/new/", {"celsius": "11", "air": "still"}, "name", Fridge),
    ("/kit/probes/new/", {"measures": "bean"}, "name", Probe),
    ("/settings/", {}, "name", Workshop),
    ("/recipes/new/", {"have": "1 kg cocoa mass", "form": "bar"}, "name", Recipe),
    ("/recipes/new/", {"have": "1 kg cocoa mass", "form": "bar", "name": "Dark"}, "note", Recipe),
    ("/roasts/new/", {"charge_g": "2 kg", "matter": "beans"}, "beans", Roast),
)


@pytest.mark.parametrize("value", [LOST, TURNED])
@pytest.mark.parametrize(("path", "fields", "field", "model"), FORMS)
def test_nothing_is_saved_of_a_text_that_cannot_be_read(
    client: Client, path: str, fields: dict[str, str], field: str, model: type[Model], value: str
) -> None:
    before = list(model._default_manager.values())
    said = refused(client, path, fields, field, value)
    assert ("broken on its way" if value == LOST else "U+202E") in said
    assert list(model._default_manager.values()) == before


@pytest.mark.parametrize("value", [LOST, TURNED])
@pytest.mark.parametrize(
    ("page", "fields", "field", "model"),
    [
        ("/recipes/{}/name/", {"form": "bar"}, "name", Recipe),
        ("/recipes/{}/name/", {"form": "bar", "name": "Dark"}, "why", Recipe),
        ("/recipes/{}/copy/", {}, "name", Recipe),
        ("/batches/make/{}/", {"purpose": "bars", "total_g": "2 kg", "kit": "stone"}, "note", Batch),
    ],
)
def test_nothing_of_a_recipe_changes_by_a_text_that_cannot_be_read(
    client: Client, page: str, fields: dict[str, str], field: str, model: type[Model], value: str
) -> None:
    public_id = services.create_recipe(draft(*DARK)).recipe.public_id
    before = list(model._default_manager.values())
    said = refused(client, page.format(public_id), fields, field, value)
    assert ("broken on its way" if value == LOST else "U+202E") in said
    assert list(model._default_manager.values()) == before


def test_what_is_on_the_shelf_is_read_even_where_the_total_counts(client: Client) -> None:
    version = services.create_recipe(draft(*DARK))
    sent = form_of(version, total="3 kg", have="1 kg \ufffdbad")
    response = client.post(f"/recipes/{version.recipe.public_id}/", sent)
    assert response.status_code == 422
    assert "broken on its way" in response.content.decode()
    stored = RecipeVersion.objects.get()
    assert (stored.have, stored.total_g) == ("", 2000)
