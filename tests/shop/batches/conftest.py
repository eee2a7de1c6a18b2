"""A batch of an invented workshop: nibs, butter and sugar on a stone grinder, with something to fold in."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from nibsmith.shop.batches.models import Batch, PlannedPart
from nibsmith.shop.batches.services.making import Making, make
from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould
from nibsmith.shop.recipes import services
from nibsmith.shop.recipes.models import RecipeVersion
from recipes_typed import draft, row

PARTS = (
    row("cocoa_nibs_roasted", "56.0"),
    row("cocoa_butter", "8.0"),
    row("sugar_granulated"),
    row("hazelnut", "10.0", stage="folded_in", grind="pieces"),
)


@pytest.fixture
def agnes(db: None) -> OwnKit:
    card = KitCard(name="Agnes", based_on="stone", charge_min_g=Decimal(800), charge_max_g=Decimal(2500))
    return create_kit(card)


@pytest.fixture
def brick(db: None) -> Mould:
    return create_mould(MouldCard(name="Brick", cavity_g=Decimal("62.5"), cavities=8))


@pytest.fixture
def version(db: None) -> RecipeVersion:
    return services.create_recipe(draft(*PARTS))


@pytest.fixture
def batch(version: RecipeVersion, agnes: OwnKit) -> Batch:
    """A batch that began two days ago: 1,120 g nibs, 160 g butter, 520 g sugar; 200 g hazelnuts planned."""
    return make(version, Making(kit=agnes.ref, began_at=timezone.now() - timedelta(days=2)))


@pytest.fixture
def part(batch: Batch) -> dict[str, PlannedPart]:
    return {part.label: part for part in batch.planned.all()}
