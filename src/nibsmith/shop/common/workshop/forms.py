"""The form of the settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from django import forms

from nibsmith.science.legal import jurisdictions
from nibsmith.science.money import currencies
from nibsmith.shop.common.forms import (
    ListField,
    MassField,
    PercentField,
    PickField,
    RecordForm,
    TextField,
    YesField,
)
from nibsmith.shop.common.workshop.selectors import WorkshopSettings, workshop
from nibsmith.shop.common.workshop.words import DECIMAL_SIGNS, MASS_UNITS, PAPERS, TEMPERATURE_UNITS
from nibsmith.shop.kit.selectors import kit_choices, moulds

HUNDRED = Decimal(100)


def _currencies() -> list[tuple[str, str]]:
    return [(code, f"{code}, {currency.name}") for code, currency in currencies().items()]


def _markets() -> list[tuple[str, str]]:
    return list(jurisdictions().items())


class SettingsForm(RecordForm):
    """How this workshop weighs, counts and sells."""

    name = TextField(label="Name of the workshop", required=False)
    decimal_sign = PickField(
        label="Decimal sign",
        required=False,
        choices=list(DECIMAL_SIGNS.items()),
        help_text="1,500 g can be one and a half or fifteen hundred. A sign chosen here decides; "
        "without one you are asked.",
    )
    mass_unit = PickField(label="Weights in", choices=list(MASS_UNITS.items()))
    temperature_unit = PickField(label="Temperatures in", choices=list(TEMPERATURE_UNITS.items()))
    scale_g = MassField(label="Your scale reads in steps of", help_text="Such as 1 g or 0.1 g.")
    currency = PickField(label="Currency", choices=_currencies)
    markets = ListField(label="Markets you sell in", choices=_markets)
    memory_rules = YesField(
        label="Use rules that are known from memory too",
        help_text="Their text was not read; answers say so where one decides.",
    )
    uses_lecithin = YesField(label="We use lecithin", help_text="Otherwise no answer proposes it.")
    bean_yield = PercentField(
        label="Nibs from raw beans",
        required=False,
        help_text="What 100 g of raw beans leave as roasted nibs; for the price of nibs from your own beans.",
    )
    paper = PickField(label="Paper of the sheets", choices=list(PAPERS.items()))
    why = TextField(label="Why", required=False, help_text="It goes into the history.")

    def more_fields(self) -> Mapping[str, forms.Field]:
        usual = workshop()
        kits = [(choice.ref, choice.name) for choice in kit_choices()]
        shapes = [(choice.ref, choice.name) for choice in moulds()]
        return {
            "default_kit": _usual("Usual kit", kits, usual.default_kit),
            "default_mould": _usual("Usual mould", shapes, usual.default_mould),
        }

    @staticmethod
    def initial_of(settings: WorkshopSettings) -> dict[str, Any]:
        share = settings.bean_yield
        return {**asdict(settings), "bean_yield": None if share is None else share * HUNDRED}

    def settings(self) -> WorkshopSettings:
        """Return what was typed."""
        typed = dict(self.cleaned_data)
        typed.pop("why")
        share = typed.pop("bean_yield")
        return WorkshopSettings(
            decimal_sign=typed.pop("decimal_sign") or None,
            markets=tuple(typed.pop("markets")),
            bean_yield=None if share is None else share / HUNDRED,
            **typed,
        )


def _usual(label: str, offered: list[tuple[str, str]], now: str) -> PickField:
    """Offer what is in use, and what is chosen now even where it was put away."""
    if now and now not in dict(offered):
        offered.append((now, "the one put away"))
    return PickField(label=label, required=False, choices=[("", "none"), *offered])
