"""The list of ingredients: all of them, or those that fit."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from nibsmith.science.mixture import ingredients
from nibsmith.shop.stock.models import OwnIngredient
from nibsmith.shop.stock.services import retire_ingredient

pytestmark = pytest.mark.django_db
URL = reverse("stock:ingredients")


def keys(body: str) -> list[str]:
    return re.findall(rf'scope="row"><a href="{URL}([^/"]+)/"', body)


def page(client: Client, **asked: str) -> str:
    response = client.get(URL, asked)
    assert response.status_code == 200
    return response.content.decode()


def test_it_lists_own_and_packaged_with_source_and_status_in_words(
    client: Client, mass: OwnIngredient
) -> None:
    body = page(client)

    assert sorted(keys(body)) == sorted([mass.key, *ingredients()])
    assert "Northlight Cocoa, sheet of March, from your supplier&#x27;s sheet" in body
    assert '<a href="/sources/#usda-sr28">usda-sr28</a> NDB 04501, read in the source' in body
    assert "from memory, not checked" in body
    assert "11.40\xa0EUR" in body


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"q": "QUAYSIDE"}, ["own"]),
        ({"q": "mass quay"}, ["own"]),
        ({"kind": "cocoa_butter"}, ["cocoa_butter"]),
        ({"whose": "own"}, ["own"]),
        ({"q": "quayside", "whose": "packaged"}, []),
        ({"q": "hazelnut", "kind": "other_food"}, ["hazelnut", "hazelnut_dry_roasted", "hazelnut_paste"]),
        ({"kind": "kiwi"}, []),
        ({"q": "\x00"}, []),
    ],
)
def test_it_narrows_by_words_kind_and_owner(
    client: Client, mass: OwnIngredient, asked: dict[str, str], found: list[str]
) -> None:
    assert keys(page(client, **asked)) == [mass.key if key == "own" else key for key in found]


def test_htmx_gets_the_list_alone_and_a_browser_the_page(client: Client) -> None:
    whole = client.get(URL, {"q": "butter"})
    piece = client.get(URL, {"q": "butter"}, headers={"HX-Request": "true"})

    assert whole.content.startswith(b"<!doctype html>")
    assert b"<html" not in piece.content
    assert piece.content.decode().strip() in whole.content.decode()
    assert "HX-Request" in piece.headers["Vary"]


def test_nothing_found_offers_a_way_on(client: Client) -> None:
    body = page(client, q="no such thing")

    assert "Nothing fits" in body
    assert reverse("stock:add") in body


def test_what_was_asked_stays_in_the_form(client: Client) -> None:
    body = page(client, q='"><b>', kind="milk", whose="packaged")

    assert 'value="&quot;&gt;&lt;b&gt;"' in body
    assert '<option value="milk" selected>' in body
    assert '<option value="packaged" selected>' in body


def test_what_is_put_away_is_listed_apart(client: Client, mass: OwnIngredient) -> None:
    retire_ingredient(mass)
    body = page(client)

    assert mass.key not in keys(body)
    assert f'<li><a href="{URL}{mass.key}/">' in body


def test_it_takes_four_queries(
    client: Client, mass: OwnIngredient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(4):
        client.get(URL)


def test_a_post_is_not_taken(client: Client) -> None:
    assert client.post(URL).status_code == 405
