"""What the maker knows better about a packaged ingredient."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.shop.common.changelog.models import ChangeEntry
from nibsmith.shop.stock.models import IngredientFacts
from nibsmith.shop.stock.selectors import find

pytestmark = pytest.mark.django_db
URL = reverse("stock:edit", kwargs={"key": "cocoa_nibs_roasted"})


def test_price_and_fat_are_saved_and_shown_again(client: Client) -> None:
    response = client.post(URL, {"price_per_kg": "9,80", "fat_g": "54,5", "supplier": "own beans"})

    assert response.status_code == 302
    assert IngredientFacts.objects.get().price_per_kg == Decimal("9.80")
    assert find("cocoa_nibs_roasted").composition["fat_g"] == 54.5
    assert b'name="fat_g" value="54.5"' in client.get(URL).content
    assert ChangeEntry.objects.get().what == "stock.facts_set"


def test_emptying_a_figure_gives_the_packaged_one_back(client: Client) -> None:
    packaged = find("cocoa_nibs_roasted").composition["fat_g"]
    client.post(URL, {"fat_g": "54.5"})
    client.post(URL, {"fat_g": ""})

    assert find("cocoa_nibs_roasted").composition["fat_g"] == packaged


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [
        ("fat_g", "99.5", "cannot hold this fat"),
        ("fat_g", "100.5", "more than it can be"),
        ("price_per_kg", "12 EUR", "not a number"),
        ("price_per_kg", "9" * 13, "not a number"),
    ],
)
def test_what_cannot_be_is_refused_and_kept_in_the_form(
    client: Client, field: str, text: str, said: str
) -> None:
    response = client.post(URL, {field: text, "note": "kept"})

    assert response.status_code == 422
    assert said in response.content.decode()
    assert f'value="{text}"'.encode() in response.content
    assert b">\nkept</textarea>" in response.content
    assert not IngredientFacts.objects.exists()


def test_a_fat_without_anything_to_give_way_is_refused_beside_its_field(client: Client) -> None:
    response = client.post("/stock/cocoa_butter/edit/", {"fat_g": "98"})

    assert response.status_code == 422
    told = response.content.decode().partition('name="fat_g"')[2].partition("</div>")[0]
    assert "Cocoa butter is all fat but for its water" in told


def test_a_fat_that_leaves_no_room_for_the_water_is_refused_beside_its_field(client: Client) -> None:
    told = client.post(URL, {"fat_g": "99.5"}).content.decode().partition('name="fat_g"')[2]

    assert "cannot hold this fat" in told.partition("</div>")[0]
