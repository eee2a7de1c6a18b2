"""Recipes inside a recipe: which version stands there, and whether a newer one does not."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.db.models import Max

from nibsmith.science.errors import InputError
from nibsmith.shop.recipes.drafts import Draft
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.recipes.opening import Opened


@dataclass(frozen=True, slots=True)
class Inside:
    """The version of a recipe that stands as a part, and the newest there is of it."""

    public_id: uuid.UUID
    number: int
    newest: int

    @property
    def is_newest(self) -> bool:
        return self.number == self.newest


def inside(draft: Draft) -> Mapping[str, Inside]:
    """Return the recipes inside a draft by label: one query, none where there are none."""
    ids = {row.sub_version for row in draft.rows if row.sub_version is not None}
    if not ids:
        return {}
    versions = RecipeVersion.objects.filter(pk__in=ids).annotate(newest=Max("recipe__versions__number"))
    found = {
        version.pk: Inside(version.recipe.public_id, version.number, version.newest)
        for version in versions.select_related("recipe")
    }
    return {row.label: found[row.sub_version] for row in draft.rows if row.sub_version in found}


def take_newest(opened: Opened, label: str) -> Draft:
    """Put the newest version of a recipe inside in place of the one that stands there."""
    row = opened.draft.row(label)
    if row.sub_version is None:
        raise InputError("This part is an ingredient", value=label, advice="Load the page anew.")
    newest = RecipeVersion.objects.filter(recipe__versions=row.sub_version).order_by("-number")[:1].get()
    return opened.draft.with_row(replace(row, sub_version=newest.pk))
