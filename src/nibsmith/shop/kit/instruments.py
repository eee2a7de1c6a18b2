"""Write the maker's fridges and probes: each call is one transaction and one entry of the change log."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.kit.keeping import add, change
from nibsmith.shop.kit.models import Air, Fridge, Measures, Probe

COLDEST_CELSIUS, WARMEST_CELSIUS = -30, 30
MOST_AIR_H = 100
MOST_OFFSET_K = 30


@dataclass(frozen=True, kw_only=True)
class FridgeCard:
    """What the maker says of a fridge; ``air_h`` is their own figure in place of that of ``air``."""

    name: str
    celsius: Decimal
    air: str = Air.STILL.value
    air_h: Decimal | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ProbeCard:
    """What the maker says of a probe; without an uncertainty nobody has checked it."""

    name: str
    measures: str
    offset_k: Decimal = Decimal(0)
    uncertainty_k: Decimal | None = None
    note: str = ""


def create_fridge(card: FridgeCard, *, why: str = "") -> Fridge:
    """Store a new fridge."""
    return add(Fridge(**_fridge_columns(card)), why=why)


def update_fridge(row: Fridge, card: FridgeCard, *, why: str = "", seen: str = "") -> Fridge:
    """Store what is different about a fridge."""
    return change(row, _fridge_columns(card), why, seen)


def create_probe(card: ProbeCard, *, why: str = "") -> Probe:
    """Store a new probe."""
    return add(Probe(**_probe_columns(card)), why=why)


def update_probe(row: Probe, card: ProbeCard, *, why: str = "", seen: str = "") -> Probe:
    """Store what is different about a probe; records made with it keep what held then."""
    return change(row, _probe_columns(card), why, seen)


def _fridge_columns(card: FridgeCard) -> dict[str, Any]:
    _on_list(card.air, Air.values, "air")
    amounts.bounded(card.celsius, "celsius", low=COLDEST_CELSIUS, high=WARMEST_CELSIUS, decimals=1)
    if card.air_h is not None:
        amounts.more_than_nothing(card.air_h, "air_h", high=MOST_AIR_H, decimals=1)
    return asdict(replace(card, name=texts.name(card.name), note=texts.note(card.note)))


def _probe_columns(card: ProbeCard) -> dict[str, Any]:
    _on_list(card.measures, Measures.values, "measures")
    amounts.bounded(card.offset_k, "offset_k", low=-MOST_OFFSET_K, high=MOST_OFFSET_K, decimals=1)
    amounts.bounded(card.uncertainty_k, "uncertainty_k", high=MOST_OFFSET_K, decimals=1)
    return asdict(replace(card, name=texts.name(card.name), note=texts.note(card.note)))


def _on_list(value: str, known: list[str], field: str) -> None:
    if value not in known:
        raise InputError("This is not on the list", value=value, advice="Choose from the list.", field=field)
