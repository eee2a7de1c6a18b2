"""Recipes for tests, and what the recipe page would send of them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from nibsmith.shop.common.workshop.selectors import workshop
from nibsmith.shop.recipes import selectors
from nibsmith.shop.recipes.drafts import Amount, Draft, Row, draft_of
from nibsmith.shop.recipes.models import Mode, RecipeVersion
from nibsmith.shop.recipes.shown import texts_of
from nibsmith.shop.recipes.written import weight_text


def row(label: str, typed: str | None = None, **facts: Any) -> Row:
    """Name a row by its ingredient; without an amount it is the rest."""
    mode = Mode.REST if typed is None else Mode.PERCENT
    number = None if typed is None else Decimal(typed)
    return replace(Row(label=label, ingredient=label, mode=mode, typed=number), **facts)


def draft(*rows: Row, name: str = "Weir dark", total_g: str = "2000", **amount: Any) -> Draft:
    return Draft(name=name, form="bar", rows=rows, amount=replace(Amount(total_g=Decimal(total_g)), **amount))


DARK = (
    row("cocoa_nibs_roasted", "64.0"),
    row("cocoa_butter", "4.0"),
    row("sugar_granulated"),
)


Post = dict[str, Any]


def form_of(version: RecipeVersion, **changes: Any) -> Post:
    """Return what the recipe page would send; ``changes`` are by field, or ``amount__<label>``."""
    stored = draft_of(selectors.newest(version.recipe.public_id))
    texts = [texts_of(row, workshop()) for row in stored.rows]
    columns = ("label", "amount", "mode", "kind", "stage", "grind", "price")
    post: Post = {column: [getattr(text, column) for text in texts] for column in columns}
    amount = stored.amount
    post |= {
        "way": amount.way.value,
        "total": weight_text(amount.total_g, workshop()),
        "have": amount.have,
        "bars": "" if amount.bars is None else str(amount.bars),
        "mould": amount.mould,
        "kit": amount.kit,
        "do": "answer",
    }
    for name, value in changes.items():
        column, _, label = name.partition("__")
        if label:
            post[column][post["label"].index(label)] = value
        else:
            post[name] = value
    return post
