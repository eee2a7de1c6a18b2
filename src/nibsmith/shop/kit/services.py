"""Write the maker's machines and moulds: each call is one transaction and one entry of the change log."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction

from nibsmith.science.errors import InputError
from nibsmith.science.kit import check_residue, kit
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.kit.keeping import add, change, retire
from nibsmith.shop.kit.models import Mould, OwnKit

MOST_CAVITIES = 1000
LARGEST_CHARGE_G = 1_000_000
LARGEST_CAVITY_G = 10_000
HEAVIEST_MOULD_G = 20_000
HOTTEST_CELSIUS = 150
MOST_LOSS_PERCENT = 99
SHARES = ("loss_percent", "end_water_percent")  # typed as they are stored; masses and degrees are worked out


@dataclass(frozen=True, kw_only=True)
class KitCard:
    """What the maker says of a machine; an empty figure is that of the kind of kit it is."""

    name: str
    based_on: str
    charge_min_g: Decimal | None = None
    charge_max_g: Decimal | None = None
    residue_g: Decimal | None = None
    loss_percent: Decimal | None = None
    end_water_percent: Decimal | None = None
    ceiling_celsius: Decimal | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class MouldCard:
    """What the maker says of a mould; without a weight it counts for nothing in the cold."""

    name: str
    cavity_g: Decimal
    cavities: int = 1
    empty_g: Decimal | None = None
    note: str = ""


def create_kit(card: KitCard, *, why: str = "") -> OwnKit:
    """Store a new machine."""
    return add(OwnKit(**_kit_columns(card), decimals=_decimals(card)), why=why)


@transaction.atomic
def update_kit(row: OwnKit, card: KitCard, *, why: str = "", seen: str = "") -> OwnKit:
    """Store what is different about a machine; a zero more behind a figure is no other figure."""
    changed = change(row, _kit_columns(card), why, seen)
    if changed.decimals != _decimals(card):
        changed.decimals = _decimals(card)
        changed.save(update_fields=["decimals", "updated_at"])
    return changed


def _decimals(card: KitCard) -> dict[str, int]:
    """Return how many decimals each share was typed with."""
    typed = {name: getattr(card, name) for name in SHARES}
    return {name: max(0, -value.as_tuple().exponent) for name, value in typed.items() if value is not None}


def retire_kit(row: OwnKit, *, why: str = "") -> OwnKit:
    """Put a machine away: no list offers it any more."""
    return retire(row, why=why)


def create_mould(card: MouldCard, *, why: str = "") -> Mould:
    """Store a new mould."""
    return add(Mould(**_mould_columns(card)), why=why)


def update_mould(row: Mould, card: MouldCard, *, why: str = "", seen: str = "") -> Mould:
    """Store what is different about a mould."""
    return change(row, _mould_columns(card), why, seen)


def retire_mould(row: Mould, *, why: str = "") -> Mould:
    """Put a mould away: no list offers it any more."""
    return retire(row, why=why)


def _kit_columns(card: KitCard) -> dict[str, Any]:
    columns = {
        "name": texts.name(card.name),
        "based_on": kit(card.based_on).key,
        "charge_min_g": amounts.bounded(card.charge_min_g, "charge_min_g", high=LARGEST_CHARGE_G, decimals=2),
        "charge_max_g": amounts.bounded(card.charge_max_g, "charge_max_g", high=LARGEST_CHARGE_G, decimals=2),
        "residue_g": amounts.bounded(card.residue_g, "residue_g", high=LARGEST_CHARGE_G, decimals=2),
        "loss_percent": amounts.bounded(card.loss_percent, "loss_percent", high=MOST_LOSS_PERCENT),
        "end_water_percent": amounts.bounded(card.end_water_percent, "end_water_percent", high=10),
        "ceiling_celsius": amounts.bounded(
            card.ceiling_celsius, "ceiling_celsius", high=HOTTEST_CELSIUS, decimals=2
        ),
        "note": texts.note(card.note),
    }
    _check_charges(card)
    return columns


def _check_charges(card: KitCard) -> None:
    """Refuse charges out of order, and more left behind than goes in; what is empty is that of the kind."""
    usual = kit(card.based_on)
    least, most = _or(card.charge_min_g, usual.charge_min_g), _or(card.charge_max_g, usual.charge_max_g)
    typed = "charge_max_g" if card.charge_min_g is None else "charge_min_g"
    if getattr(card, typed) is not None and least is not None and most is not None and least > most:
        raise InputError(
            "Its smallest charge is above its largest",
            value=amounts.said(least, typed),
            limit=amounts.said(most, typed),
            advice="One that is empty is that of its kind: type both.",
            field=typed,
        )
    if card.residue_g is not None:
        check_residue(card.residue_g, most)


def _or(own: Decimal | None, usual: float | None) -> Decimal | None:
    return Decimal(repr(usual)) if own is None and usual is not None else own


def _mould_columns(card: MouldCard) -> dict[str, Any]:
    if not 1 <= card.cavities <= MOST_CAVITIES:
        limit = f"1 to {MOST_CAVITIES}"
        raise InputError(
            "A mould cannot have so many cavities", value=card.cavities, limit=limit, field="cavities"
        )
    if card.empty_g is not None:
        amounts.more_than_nothing(card.empty_g, "empty_g", high=HEAVIEST_MOULD_G)
    return {
        "name": texts.name(card.name),
        "empty_g": card.empty_g,
        "cavity_g": amounts.more_than_nothing(card.cavity_g, "cavity_g", high=LARGEST_CAVITY_G),
        "cavities": card.cavities,
        "note": texts.note(card.note),
    }
