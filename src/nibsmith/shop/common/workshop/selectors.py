"""Read the workshop's settings, and make of them what an answer may know besides the recipe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal, TypeVar, cast

from nibsmith.answers.context import DEFAULT_MARKETS, Context
from nibsmith.answers.process import Process
from nibsmith.science.errors import InputError
from nibsmith.shop.common.per_request import remembered
from nibsmith.shop.common.workshop.models import Workshop
from nibsmith.shop.kit.calibrating.selectors import known
from nibsmith.shop.kit.selectors import science_kit, science_mould

Thing = TypeVar("Thing")
DecimalSign = Literal[".", ","]
MassUnit = Literal["g", "oz"]
TemperatureUnit = Literal["C", "F"]
Paper = Literal["A4", "letter"]

REMEMBERED, REMEMBERED_ROW = "workshop", "workshop_row"
NOTHING: Mapping[str, float] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class WorkshopSettings:
    """The settings as they stand; ``decimal_sign`` is none where none is chosen."""

    name: str = ""
    decimal_sign: DecimalSign | None = None
    mass_unit: MassUnit = "g"
    temperature_unit: TemperatureUnit = "C"
    scale_g: Decimal = Decimal(1)
    currency: str = "EUR"
    markets: tuple[str, ...] = DEFAULT_MARKETS
    memory_rules: bool = False
    uses_lecithin: bool = False
    default_kit: str = ""
    default_mould: str = ""
    bean_yield: Decimal | None = None
    paper: Paper = "A4"


def workshop() -> WorkshopSettings:
    """Return the settings: one query in a request, however often it is asked."""
    return remembered(REMEMBERED, _read)


def workshop_row() -> Workshop | None:
    """Return the record of the settings, which stands once they were saved."""
    return remembered(REMEMBERED_ROW, Workshop.objects.first)


def context(
    *,
    kit: str | None = None,
    mould: str | None = None,
    bars: int | None = None,
    shelf_g: Mapping[str, float] = NOTHING,
) -> Context:
    """Return what answers know of this workshop; a recipe may name another kit or mould than the usual ones.

    A usual kit or mould that is no longer there is left out; one that the recipe names is refused. With the
    kit comes what was seen on it.
    """
    settings = workshop()
    return Context(
        kit=science_kit(kit) if kit else _usual(science_kit, settings.default_kit),
        mould=science_mould(mould) if mould else _usual(science_mould, settings.default_mould),
        bars=bars,
        scale_g=settings.scale_g,
        markets=settings.markets,
        memory_rules=settings.memory_rules,
        uses_lecithin=settings.uses_lecithin,
        currency=settings.currency,
        bean_yield=settings.bean_yield,
        shelf_g=shelf_g,
        process=_process(kit or settings.default_kit),
    )


def _process(kit: str) -> Process | None:
    return known(kit).process if kit else None


def _usual(read: Callable[[str], Thing], ref: str) -> Thing | None:
    if not ref:
        return None
    try:
        return read(ref)
    except InputError:
        return None


def _read() -> WorkshopSettings:
    row = workshop_row()
    if row is None:
        return WorkshopSettings()
    return WorkshopSettings(
        name=row.name,
        decimal_sign=cast("DecimalSign | None", row.decimal_sign or None),
        mass_unit=cast("MassUnit", row.mass_unit),
        temperature_unit=cast("TemperatureUnit", row.temperature_unit),
        scale_g=row.scale_g,
        currency=row.currency,
        markets=tuple(row.markets),
        memory_rules=row.memory_rules,
        uses_lecithin=row.uses_lecithin,
        default_kit=row.default_kit,
        default_mould=row.default_mould,
        bean_yield=row.bean_yield,
        paper=cast("Paper", row.paper),
    )
