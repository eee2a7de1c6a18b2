"""A recipe may be a part of another recipe: rework, an own liquor, a master mass."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.test import Client

from nibsmith.answers.who_must_not import who_must_not
from nibsmith.science.mixture import as_weighed
from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.drafts import draft_of
from nibsmith.shop.recipes.models import Mode, RecipeVersion
from nibsmith.shop.recipes.naming import Names, WhichOne
from nibsmith.shop.recipes.opening import open_version
from recipes_typed import DARK, draft, row

pytestmark = pytest.mark.django_db


@pytest.fixture
def nutty(db: None) -> RecipeVersion:
    nuts = replace(row("hazelnut_dry_roasted", "15"), mode=Mode.PER_100)
    return services.create_recipe(draft(*DARK, nuts, name="Quay hazelnut"))


def add(send: Any, version: RecipeVersion, words: str, share: str = "10", **more: Any) -> Any:
    return send(version, add=words, add_amount=share, do="add", **more)


def newest(version: RecipeVersion) -> RecipeVersion:
    return selectors.newest(version.recipe.public_id)


def test_the_picker_offers_recipes_and_says_that_they_are(
    dark: RecipeVersion, nutty: RecipeVersion, client: Client
) -> None:
    page = client.get(f"/recipes/{dark.recipe.public_id}/").content.decode()
    assert '<option value="Quay hazelnut">your recipe</option>' in page


def test_what_was_folded_into_a_recipe_and_its_allergens_come_along(
    dark: RecipeVersion, nutty: RecipeVersion, send: Any
) -> None:
    assert add(send, dark, "Quay hazelnut").status_code == 302
    recipe = open_version(newest(dark)).recipe
    inside = {leaf.ingredient.key: leaf for leaf in recipe.leaves() if leaf.part.label == "quay_hazelnut"}
    # By hand: a tenth of 2000 g, of which 15 g in 115 g are nuts.
    assert inside["hazelnut_dry_roasted"].mass_g == pytest.approx(200 * 15 / 115)
    assert inside["hazelnut_dry_roasted"].in_machine
    assert as_weighed(recipe).percent("other_fat") > 0
    assert "hazelnut" in who_must_not(recipe, open_version(newest(dark)).context).sentence


def test_the_page_shows_which_version_stands_inside_and_takes_a_newer_one(
    dark: RecipeVersion, nutty: RecipeVersion, send: Any, client: Client
) -> None:
    add(send, dark, "Quay hazelnut")
    address = f"/recipes/{dark.recipe.public_id}/"
    page = client.get(address).content.decode()
    assert "version 1 of your recipe" in page
    assert "Take version" not in page

    send(nutty, amount__cocoa_butter="9")
    assert newest(nutty).number == 2
    assert "Take version 2" in client.get(address).content.decode()
    send(dark, do="newest:quay_hazelnut")
    assert draft_of(newest(dark)).row("quay_hazelnut").sub_version == newest(nutty).pk
    assert "Take version" not in client.get(address).content.decode()


def test_a_recipe_that_goes_into_its_own_next_batch_becomes_a_part_of_its_next_version(
    dark: RecipeVersion, send: Any, client: Client
) -> None:
    assert add(send, dark, "Weir dark").status_code == 302
    after = newest(dark)
    assert after.number == 2
    assert draft_of(after).row("weir_dark").sub_version == dark.pk
    first = selectors.numbered(dark.recipe.public_id, 1)
    assert first.is_frozen
    assert [one.label for one in draft_of(first).rows] == [one.label for one in DARK]
    for address in ("/", "/recipes/", f"/recipes/{dark.recipe.public_id}/"):
        assert client.get(address).status_code == 200


def test_recipes_too_deep_inside_each_other_are_refused_beside_the_field(
    dark: RecipeVersion, send: Any
) -> None:
    for _ in range(6):
        assert add(send, dark, "Weir dark", "1").status_code == 302
        for one in draft_of(newest(dark)).rows:
            if one.sub_version and one.sub_version != newest(dark).made_from_id:
                send(dark, do=f"remove:{one.label}")
    answer = add(send, dark, "Weir dark", "1")
    assert answer.status_code == 422
    assert "too deep" in answer.content.decode()
    assert 'value="Weir dark"' in answer.content.decode()


def test_a_word_that_names_an_ingredient_does_not_ask_about_recipes_that_have_it_in_their_name(
    db: None,
) -> None:
    services.create_recipe(draft(*DARK, name="Roasted nibs and sugar"))
    assert Names().find("nibs").ref == "cocoa_nibs_roasted"
    assert Names().find("roasted nibs and sugar").is_recipe
    assert Names().find("nibs and sugar").is_recipe


def test_a_recipe_of_the_same_name_as_an_own_ingredient_is_asked_about(db: None) -> None:
    from nibsmith.science.mixture import Kind
    from nibsmith.shop.stock.services import create_ingredient
    from nibsmith.shop.stock.sheets import Sheet

    create_ingredient(Sheet(name="House dark", kind=Kind.OTHER_FOOD))
    services.create_recipe(draft(*DARK, name="House dark"))
    with pytest.raises(WhichOne) as question:
        Names().find("house dark")
    assert [choice.is_recipe for choice in question.value.choices] == [False, True]


def test_a_recipe_that_cannot_be_opened_leaves_the_lists_standing(
    dark: RecipeVersion, client: Client
) -> None:
    services.create_recipe(draft(*DARK, name="Another"))
    dark.parts.filter(label="cocoa_butter").update(ingredient="no_such_thing")
    for address in ("/", "/?have=500+g+roasted+nibs", "/recipes/"):
        page = client.get(address)
        assert page.status_code == 200
        assert "It cannot be opened" in page.content.decode()
        assert "Another" in page.content.decode()
