"""A stock shared out as the page shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.shop.common.said import said
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.selectors import Listed
from nibsmith.shop.recipes.sharing import Shared, Sharing
from nibsmith.shop.recipes.written import Weight, weight

MILLIGRAM = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Claim:
    """One recipe in the form: whether it is ticked, and what is wanted of it."""

    listed: Listed
    key: str
    chosen: bool
    wanted: str
    error: str


@dataclass(frozen=True, slots=True)
class ShownPortion:
    """What one recipe gets; ``have`` is that in words its page understands, empty where it gets nothing."""

    listed: Listed
    sentence: str
    batch: Weight | None
    have: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShownShared:
    """A stock shared out."""

    sentence: str
    portions: tuple[ShownPortion, ...]


def claims_of(asked: Sharing, recipes: Sequence[Listed]) -> tuple[Claim, ...]:
    """Return the recipes to tick."""
    return tuple(
        Claim(
            listed=one,
            key=str(one.recipe.public_id),
            chosen=str(one.recipe.public_id) in asked.ids,
            wanted=asked.wanted.get(str(one.recipe.public_id), ""),
            error=asked.errors.get(f"wanted-{one.recipe.public_id}", ""),
        )
        for one in recipes
    )


def show_shared(shared: Shared, settings: WorkshopSettings) -> ShownShared:
    """Show what each recipe gets."""
    portions = tuple(
        ShownPortion(
            listed=listed,
            sentence=said(portion.sentence, settings),
            batch=None if portion.recipe is None else weight(portion.recipe.total_g, settings),
            have="" if portion.recipe is None else f"{_grams(portion.takes_g)} g {shared.named.name}",
            remarks=tuple(said(remark, settings) for remark in portion.remarks),
        )
        for listed, portion in zip(shared.recipes, shared.outcome.portions, strict=True)
    )
    return ShownShared(said(shared.outcome.sentence, settings), portions)


def _grams(grams: float) -> str:
    """Write a weight so that it can be read one way only: never three decimals."""
    return f"{Decimal(repr(grams)).quantize(MILLIGRAM):f}0"
