"""Write the settings: one transaction and one entry of the change log."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django.db import transaction

from nibsmith.science.errors import InputError
from nibsmith.science.legal import jurisdictions
from nibsmith.science.money import currencies
from nibsmith.shop.common import amounts, texts
from nibsmith.shop.common.history.meanwhile import check_seen
from nibsmith.shop.common.history.services import save_changes, save_new
from nibsmith.shop.common.per_request import forget
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.common.workshop.selectors import REMEMBERED, REMEMBERED_ROW, WorkshopSettings
from nibsmith.shop.common.workshop.words import DECIMAL_SIGNS, MASS_UNITS, PAPERS, TEMPERATURE_UNITS
from nibsmith.shop.kit.selectors import science_kit, science_mould

COARSEST_SCALE_G = 1000


@transaction.atomic
def update_workshop(settings: WorkshopSettings, *, why: str = "", seen: str = "") -> Workshop:
    """Store the settings; the first time, make their row."""
    columns = _columns(_checked(settings))
    row = Workshop.objects.select_for_update().first()
    check_seen(row, seen)
    if row is None:
        row = Workshop(**columns)
        save_new("common.settings_changed", row, why=why)
    else:
        save_changes("common.settings_changed", row, columns, why=why)
    forget(REMEMBERED)
    forget(REMEMBERED_ROW)
    return row


def _checked(settings: WorkshopSettings) -> WorkshopSettings:
    """Return the settings with their texts in order; refuse what is not on a list or no figure."""
    _on_list(settings.decimal_sign or "", DECIMAL_SIGNS, "decimal_sign")
    _on_list(settings.mass_unit, MASS_UNITS, "mass_unit")
    _on_list(settings.temperature_unit, TEMPERATURE_UNITS, "temperature_unit")
    _on_list(settings.paper, PAPERS, "paper")
    for market in settings.markets:
        _on_list(market, jurisdictions(), "markets")
    if not settings.markets:
        raise InputError("No market is chosen", advice="Choose at least one.", field="markets")
    _check_usual(settings)
    amounts.more_than_nothing(settings.scale_g, "scale_g", high=COARSEST_SCALE_G)
    _check_yield(settings.bean_yield)
    _on_list(settings.currency, currencies(), "currency")
    return replace(settings, name=texts.line(settings.name, "name"))


def _check_usual(settings: WorkshopSettings) -> None:
    if settings.default_kit:
        science_kit(settings.default_kit)
    if settings.default_mould:
        science_mould(settings.default_mould)


def _check_yield(share: Decimal | None) -> None:
    if share is not None:
        amounts.more_than_nothing(share, "bean_yield", high=1, decimals=5)


def _on_list(value: str, known: Any, field: str) -> None:
    if value not in known:
        raise InputError("This is not on the list", value=value, advice="Choose from the list.", field=field)


def _columns(settings: WorkshopSettings) -> dict[str, Any]:
    order = list(jurisdictions())
    return {
        "name": settings.name,
        "decimal_sign": settings.decimal_sign or "",
        "mass_unit": settings.mass_unit,
        "temperature_unit": settings.temperature_unit,
        "scale_g": settings.scale_g,
        "currency": settings.currency,
        "markets": sorted(set(settings.markets), key=order.index),
        "memory_rules": settings.memory_rules,
        "uses_lecithin": settings.uses_lecithin,
        "default_kit": settings.default_kit,
        "default_mould": settings.default_mould,
        "bean_yield": settings.bean_yield,
        "paper": settings.paper,
    }
