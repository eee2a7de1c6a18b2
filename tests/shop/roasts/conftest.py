"""Roasts of an invented workshop, and what sends them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from nibsmith.shop.kit.instruments import ProbeCard, create_probe
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.roasts.models import Roast
from nibsmith.shop.roasts.services.roasts import RoastCard, write_down


@pytest.fixture
def card() -> RoastCard:
    return RoastCard(
        beans="Marsh Farm",
        roasted_on=date(2026, 3, 14),
        charge_g=Decimal(2000),
        end_g=Decimal(1898),
        roaster="fan_oven",
        start_celsius=Decimal(22),
    )


@pytest.fixture
def roast(card: RoastCard, db: None) -> Roast:
    return write_down(card)


@pytest.fixture
def basket(db: None) -> Probe:
    """A probe in the beans, read half a kelvin too low, good to a kelvin and a half."""
    card = ProbeCard(
        name="Basket probe", measures="bean", offset_k=Decimal("0.5"), uncertainty_k=Decimal("1.5")
    )
    return create_probe(card)


@pytest.fixture
def add(client: Client) -> Callable[..., Any]:
    """Send readings to a roast; a file by its text."""

    def send(roast: Roast, **typed: Any) -> Any:
        fields = {f"more-{name}": value for name, value in {"role": "bean", **typed}.items()}
        return client.post(reverse("roasts:add_readings", args=[roast.public_id]), fields)

    return send


@pytest.fixture
def shown(client: Client) -> Callable[..., Any]:
    """Get the page of a roast."""

    def get(roast: Roast, query: str = "") -> Any:
        response = client.get(reverse("roasts:roast", args=[roast.public_id]) + query)
        assert response.status_code == 200
        return response

    return get
