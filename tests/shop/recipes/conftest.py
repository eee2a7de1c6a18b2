"""Recipes that several tests begin with."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.models import RecipeVersion
from recipes_typed import DARK, draft, form_of


@pytest.fixture
def dark(db: None) -> RecipeVersion:
    """Nibs, butter and sugar, the sugar being the rest."""
    return services.create_recipe(draft(*DARK))


@pytest.fixture
def send(client: Client) -> Callable[..., Any]:
    """Send the recipe page's form, as a browser without scripts does or as htmx does."""

    def post(version: RecipeVersion, *, htmx: bool = False, **changes: Any) -> Any:
        headers = {"HX-Request": "true", "HX-Target": "answers"} if htmx else {}
        path = f"/recipes/{version.recipe.public_id}/"
        return client.post(path, form_of(version, **changes), headers=headers)

    return post
