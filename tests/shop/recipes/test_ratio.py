"""Shares typed as parts or weights on the recipe page, and what stands typed beside other edits."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from django.test import Client

from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, RecipeVersion
from nibsmith.shop.recipes.opening import open_version
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db


def percents(version: RecipeVersion) -> dict[str, Fraction]:
    opened = open_version(selectors.newest(version.recipe.public_id))
    return {label: opened.percent(label) for label in opened.parts}


def test_parts_share_what_they_have_and_the_others_keep_theirs(dark: RecipeVersion, send: Any) -> None:
    assert send(dark, ratio="2 parts nibs, 1 part sugar", do="ratio").status_code == 302
    # By hand: 96 % without the butter; two thirds of it, and the sugar still takes the rest.
    found = percents(dark)
    assert found["cocoa_nibs_roasted"] == 64
    assert found["cocoa_butter"] == 4
    assert found["sugar_granulated"] == 32
    assert draft_of(dark).row("sugar_granulated").mode == Mode.REST


def test_weights_set_the_shares_too(dark: RecipeVersion, send: Any) -> None:
    send(dark, ratio="1500 g nibs; 100 g cocoa butter; 900 g sugar", do="ratio")
    assert percents(dark) == {"cocoa_nibs_roasted": 60, "cocoa_butter": 4, "sugar_granulated": 36}


def test_a_ratio_that_does_not_come_out_even_still_adds_up_without_a_rest(db: None, send: Any) -> None:
    version = services.create_recipe(draft(row("cocoa_mass", "70"), row("sugar_granulated", "30")))
    assert send(version, ratio="2 parts sugar, 1 part cocoa mass", do="ratio").status_code == 302
    found = percents(version)
    assert sum(found.values()) == 100
    assert float(found["cocoa_mass"]) == pytest.approx(100 / 3, abs=1e-6)  # shares are kept to a millionth


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("2 parts nibs", "two parts at least"),
        ("2 parts nibs, 500 g sugar", "mixed"),
        ("2 parts nibs, 1 part milk powder", "is not in this recipe"),
        ("nibs and sugar", "no amount"),
    ],
)
def test_a_ratio_that_cannot_be_read_is_refused_beside_its_field_and_stays_typed(
    dark: RecipeVersion, send: Any, typed: str, said: str
) -> None:
    answer = send(dark, ratio=typed, do="ratio")
    body = answer.content.decode()
    assert answer.status_code == 422
    assert said in body.partition('id="error-ratio">')[2].partition("</p>")[0]
    assert f'value="{typed}"' in body
    assert percents(dark)["cocoa_nibs_roasted"] == 64


def test_enter_in_the_field_of_a_new_part_adds_it(dark: RecipeVersion, send: Any) -> None:
    send(dark, add="roasted hazelnuts", add_amount="10", do="answer")
    assert percents(dark)["hazelnut_dry_roasted"] == 10


@pytest.mark.parametrize("do", ["", "up:cocoa_butter"])
def test_what_stands_typed_beside_another_edit_is_not_lost(
    dark: RecipeVersion, send: Any, client: Client, do: str
) -> None:
    answer = send(dark, add="hazel", add_amount="7", ratio="2 parts nibs", do=do)
    page = client.get(answer.headers["Location"]).content.decode()
    for typed in ("hazel", "7", "2 parts nibs"):
        assert f'value="{typed}"' in page
    assert len(draft_of(selectors.newest(dark.recipe.public_id)).rows) == len(DARK)


def test_a_total_no_scale_can_weigh_is_refused_beside_its_field(dark: RecipeVersion, send: Any) -> None:
    for htmx in (True, False):
        answer = send(dark, htmx=htmx, total="99999999 kg")
        assert answer.status_code == 422
        assert (
            "This is no batch"
            in answer.content.decode().partition('id="error-total"')[2].partition("</p>")[0]
        )


def test_an_empty_share_is_asked_for_as_a_number(dark: RecipeVersion, send: Any) -> None:
    answer = send(dark, amount__cocoa_butter="")
    assert "Its amount is empty. Type a number, or make it the rest." in answer.content.decode()
