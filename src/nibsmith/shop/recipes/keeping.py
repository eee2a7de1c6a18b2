"""What a version that is kept is made of, stored with it: its ingredients' facts, its mould and its kit."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from nibsmith.science.kit import Mould
from nibsmith.shop.common.workshop.selectors import context
from nibsmith.shop.kit.selectors import science_mould
from nibsmith.shop.recipes.drafts import Draft, draft_of
from nibsmith.shop.recipes.models import RecipeVersion
from nibsmith.shop.stock.kept import Facts, facts_now, find_kept

INGREDIENTS, MOULD, KIT = "ingredients", "mould", "kit"
NOTHING: Mapping[str, Facts] = MappingProxyType({})


def kept_now(draft: Draft) -> dict[str, Any]:
    """Return what a draft is made of today; recipes inside it keep their own.

    A mould is kept only where the draft names one: shares and sizes that are counted by the bar do. Of the
    kit, named or the usual one, the water that it leaves is kept: shares counted by the bar hang on it.
    """
    mould = science_mould(draft.amount.mould) if draft.amount.mould else None
    kit = context(kit=draft.amount.kit or None).kit
    return {
        INGREDIENTS: facts_now(row.ingredient for row in draft.rows if row.ingredient),
        MOULD: None
        if mould is None
        else {"name": mould.name, "cavity_g": mould.cavity_g, "cavities": mould.cavities},
        KIT: None if kit is None else {"name": kit.name, "end_water_percent": kit.usual_end_water_percent},
    }


def ingredients_kept(kept: Mapping[str, Any] | None) -> Mapping[str, Facts]:
    """Return the facts of ingredients that were kept, by key."""
    return NOTHING if kept is None else kept[INGREDIENTS]


def mould_kept(kept: Mapping[str, Any] | None) -> Mould | None:
    """Return the mould that was kept."""
    stored = None if kept is None else kept[MOULD]
    return None if stored is None else Mould(**stored)


def end_water_kept(kept: Mapping[str, Any], otherwise: float | None) -> float | None:
    """Return the water of the finished mass that was kept [%]; another for what was kept without its kit."""
    if KIT not in kept:
        return otherwise
    return None if kept[KIT] is None else kept[KIT]["end_water_percent"]


def changed_since(version: RecipeVersion) -> tuple[str, ...]:
    """Name what a kept version is made of and is known otherwise today."""
    if version.kept is None or not version.is_frozen:
        return ()
    draft = draft_of(version)
    now = kept_now(draft)
    then = ingredients_kept(version.kept)
    differing = [key for key, facts in now[INGREDIENTS].items() if facts != then.get(key, facts)]
    names = [found.ingredient.name for found in find_kept(differing, then).values()]
    mould = _changed_mould(mould_kept(version.kept), mould_kept(now))
    return (*names, *mould, *_changed_kit(draft, version.kept, now))


def _changed_mould(then: Mould | None, now: Mould | None) -> tuple[str, ...]:
    same = then is None or (
        now is not None and (then.cavity_g, then.cavities) == (now.cavity_g, now.cavities)
    )
    return () if then is None or same else (then.name,)


def _changed_kit(draft: Draft, then: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[str, ...]:
    """Name the kit where shares hang on the water that it leaves, and it leaves another today."""
    today = end_water_kept(now, None)
    if not draft.counts_finished or end_water_kept(then, today) == today:
        return ()
    return ((now[KIT] or then[KIT])["name"],)
