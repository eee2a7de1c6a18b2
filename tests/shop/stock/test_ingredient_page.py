"""The page of one ingredient says what is known, from where, and what is not."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.mixture import Kind, ingredients
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import Facts, create_ingredient, set_facts
from nibsmith.shop.stock.sheets import Sheet

pytestmark = pytest.mark.django_db


def page(client: Client, key: str) -> str:
    response = client.get(reverse("stock:ingredient", kwargs={"key": key}))
    assert response.status_code == 200
    return re.sub(r"\s+", " ", response.content.decode().replace("\xa0", " "))


@pytest.mark.parametrize("key", list(ingredients()))
def test_every_packaged_ingredient_has_its_page(client: Client, key: str) -> None:
    body = page(client, key)
    thing = ingredients()[key]

    assert f"<h1>{thing.name}" in body
    for sign in (">nan", "None", ">inf", "{{", "{%"):
        assert sign not in body


def test_a_value_stands_with_its_unit_its_range_its_source_and_status(client: Client) -> None:
    """The figures of the USDA row of cocoa mass, NDB 19078."""
    body = page(client, "cocoa_mass")

    assert '<th scope="row">water</th><td class="number">1.34 g</td>' in body
    assert '<th scope="row">fat</th><td class="number">52.31 g</td><td class="number">50 to 58 g</td>' in body
    assert '<th scope="row">of which fibre</th><td class="number">16.6 g</td>' in body
    assert '<th scope="row">theobromine</th><td class="number">1 297 mg</td>' in body
    assert 'Source: <a href="/sources/#usda-sr28">usda-sr28</a> NDB 19078, read in the source.' in body


def test_energy_is_worked_out_by_the_eu_factors(client: Client) -> None:
    """By hand with Annex XIV of Regulation 1169/2011 [kJ/g]: fat 37, fibre 8, protein and the rest 17."""
    by_hand = 37 * 52.31 + 17 * (28.42 - 16.6) + 17 * 14.32 + 8 * 16.6
    shown = f"{by_hand:,.0f}".replace(",", " ")

    assert f'energy by the EU factors</th><td class="number">{shown} kJ' in page(client, "cocoa_mass")


def test_what_is_not_known_is_said_and_not_zero(client: Client) -> None:
    row = create_ingredient(Sheet(name="Tin of nibs", kind=Kind.NIB, constituents={"fat_g": Decimal(53)}))
    body = page(client, row.key)

    assert re.search(r"Not known:</strong> water, saturates, .*sodium", body)
    assert '<th scope="row">dry cocoa solids</th><td class="number">not known</td>' in body
    assert '<th scope="row">cocoa butter</th><td class="number">53.0 g</td>' in body
    assert "<dt>EU list</dt><dd>not known</dd>" in body
    assert "ask the supplier" in body
    assert "<dt>Price of 1 kg</dt><dd>not known</dd>" in body


def test_allergens_water_and_cautions_are_in_words(client: Client) -> None:
    hazelnut, honey, raw = (page(client, key) for key in ("hazelnut", "honey", "cocoa_nibs_raw"))

    assert "<dt>EU list</dt><dd>hazelnut (nuts)</dd>" in hazelnut
    assert "<dt>US list</dt><dd>hazelnut (tree nuts)</dd>" in hazelnut
    assert "17.1 g in 100 g: brings much water" in honey
    assert "none of the list" in honey
    assert "Salmonella" in raw
    assert "Salmonella" not in honey


def test_it_is_the_start_of_an_own_one(client: Client, mass: OwnIngredient) -> None:
    assert f'href="{reverse("stock:add")}?from=hazelnut"' in page(client, "hazelnut")
    assert f'href="{reverse("stock:add")}?from=own%3A{mass.public_id}"' in page(client, mass.key)


def test_own_facts_of_a_packaged_one_are_shown(client: Client) -> None:
    set_facts(
        "cocoa_butter",
        Facts(price_per_kg=Decimal("19.5"), supplier="Harbour Foods", note="deodorised"),
        why="first order",
    )
    body = page(client, "cocoa_butter")

    assert "19.50 EUR" in body
    assert "<dd>Harbour Foods</dd>" in body
    assert "<p>deodorised</p>" in body
    assert "first order" in body


def test_a_name_that_is_markup_is_shown_as_text(client: Client) -> None:
    hostile = "<script>alert(1)</script>"
    row = create_ingredient(Sheet(name=hostile, kind=Kind.SUGAR, note=hostile, supplier=hostile))

    for url in ("stock:ingredient", "stock:edit"):
        body = client.get(reverse(url, kwargs={"key": row.key})).content.decode()
        assert "<script>alert" not in body
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in body


@pytest.mark.parametrize("key", ["kiwi", "own:kiwi", "own:00000000-0000-0000-0000-000000000000", "%00", "ü"])
def test_an_unknown_key_is_not_found(client: Client, key: str) -> None:
    assert client.get(f"/stock/{key}/").status_code == 404
    assert client.get(f"/stock/{key}/edit/").status_code == 404
    assert client.post(f"/stock/{key}/put-away/").status_code == 404
    assert client.get("/stock/new/", {"from": key}).status_code == 404


def test_it_takes_few_queries(
    client: Client, mass: OwnIngredient, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(5):
        client.get(reverse("stock:ingredient", kwargs={"key": mass.key}))
