"""A stone grinder and a mould of an invented workshop."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.shop.kit.models import Mould, OwnKit
from nibsmith.shop.kit.services import KitCard, MouldCard, create_kit, create_mould


@pytest.fixture
def card() -> KitCard:
    return KitCard(
        name="Agnes",
        based_on="stone",
        charge_min_g=Decimal(800),
        charge_max_g=Decimal(2500),
        residue_g=Decimal(140),
    )


@pytest.fixture
def agnes(card: KitCard, db: None) -> OwnKit:
    return create_kit(card)


@pytest.fixture
def brick(db: None) -> Mould:
    return create_mould(MouldCard(name="Brick", cavity_g=Decimal("62.5"), cavities=8))
