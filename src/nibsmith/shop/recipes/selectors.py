"""Read recipes and their versions."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Max, OuterRef, QuerySet, Subquery
from django.http import Http404

from nibsmith.shop.common.texts import folded
from nibsmith.shop.recipes.models import Recipe, RecipeVersion


@dataclass(frozen=True, slots=True)
class Listed:
    """A recipe as a list shows it: with its newest version, and which it is of those with its name."""

    recipe: Recipe
    version: RecipeVersion
    which: str = ""


def newest(public_id: uuid.UUID) -> RecipeVersion:
    """Return the newest version of a recipe, its parts read with it."""
    return _one(_versions(public_id).order_by("-number"))


def numbered(public_id: uuid.UUID, number: int) -> RecipeVersion:
    """Return one version of a recipe."""
    return _one(_versions(public_id).filter(number=number))


def versions(recipe: Recipe) -> list[RecipeVersion]:
    """List all versions of a recipe, the newest first."""
    return list(recipe.versions.select_related("recipe", "made_from").prefetch_related("parts"))


def listed(*, put_away: bool = False, count: int | None = None) -> list[Listed]:
    """List recipes with their newest versions, the one written last first: three queries, one for parts."""
    numbers = Recipe.objects.filter(pk=OuterRef("recipe")).annotate(newest=Max("versions__number"))
    found = (
        RecipeVersion.objects.filter(recipe__retired_at__isnull=not put_away)
        .filter(number=Subquery(numbers.values("newest")[:1]))
        .select_related("recipe")
        .prefetch_related("parts")
        .order_by("-updated_at", "-pk")
    )
    alike = namesakes(Recipe.objects.filter(retired_at__isnull=not put_away))
    return [Listed(version.recipe, version, alike.get(version.recipe_id, "")) for version in found[:count]]


def namesakes(recipes: Iterable[Recipe]) -> Mapping[int, str]:
    """Say of recipes that share a name which of them each is, the oldest first; the others are left out.

    Names may be shared, for a maker may well have two recipes for one bar; then they have to be told apart.
    """
    groups: dict[str, list[int]] = {}
    for recipe in sorted(recipes, key=lambda one: one.pk):
        groups.setdefault(folded(recipe.name), []).append(recipe.pk)
    return {
        pk: f"{number} of {len(group)} with this name"
        for group in groups.values()
        if len(group) > 1
        for number, pk in enumerate(group, 1)
    }


def which_of_its_name(recipe: Recipe) -> str:
    """Say which of the recipes in the lists that share its name a recipe is; nothing where it is alone."""
    return namesakes(Recipe.objects.filter(retired_at=None)).get(recipe.pk, "")


def _versions(public_id: uuid.UUID) -> QuerySet[RecipeVersion]:
    found = RecipeVersion.objects.filter(recipe__public_id=public_id)
    return found.select_related("recipe").prefetch_related("parts")


def _one(found: QuerySet[RecipeVersion]) -> RecipeVersion:
    version = found.first()
    if version is None:
        raise Http404
    return version
