"""Recipes may share a name; where they do, every list says which is which."""

from __future__ import annotations

import pytest
from django.test import Client

from nibsmith.shop.recipes import selectors, services
from nibsmith.shop.recipes.naming import Names, WhichOne
from recipes_typed import DARK, draft

pytestmark = pytest.mark.django_db


def test_recipes_that_share_a_name_are_told_apart(client: Client) -> None:
    first, second = (services.create_recipe(draft(*DARK, name=name)) for name in ("Weir dark", "weir  DARK"))
    alone = services.create_recipe(draft(*DARK, name="Mill dark"))

    listed = {one.recipe.pk: one.which for one in selectors.listed()}
    assert listed == {
        first.recipe.pk: "1 of 2 with this name",
        second.recipe.pk: "2 of 2 with this name",
        alone.recipe.pk: "",
    }
    for version, said in ((first, True), (second, True), (alone, False)):
        page = client.get(f"/recipes/{version.recipe.public_id}/").content.decode()
        assert ("This recipe is" in page) is said
    assert client.get("/recipes/").content.decode().count("with this name") == 2


def test_of_recipes_that_share_a_name_one_can_pick_which_is_meant() -> None:
    for _ in range(2):
        services.create_recipe(draft(*DARK, name="Weir dark"))

    with pytest.raises(WhichOne) as asked:
        Names().find("Weir dark")
    assert [choice.whose for choice in asked.value.choices] == [
        "your recipe, 1 of 2 with this name",
        "your recipe, 2 of 2 with this name",
    ]


def test_a_recipe_that_is_put_away_shares_no_name(client: Client) -> None:
    first, second = (services.create_recipe(draft(*DARK)) for _ in range(2))
    services.retire(first.recipe)

    assert selectors.which_of_its_name(second.recipe) == ""
    assert "with this name" not in client.get("/recipes/").content.decode()
