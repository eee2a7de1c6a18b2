"""Bounds of the figures that records keep, checked once before they are stored."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from nibsmith.science.errors import InputError

_LONGEST = 12  # digits written out; a longer number stays as it came
# The last word of a field's name is its unit; what is counted per something else has none here.
_UNITS: Mapping[str, str] = MappingProxyType(
    {
        "g": "g",
        "grams": "g",
        "mg": "mg",
        "ug": "µg",
        "um": "µm",
        "percent": "%",
        "celsius": "°C",
        "k": "K",
        "hours": "h",
        "minutes": "min",
    }
)


def bounded(
    value: Decimal | None, field: str, *, low: int = 0, high: int = 100, decimals: int = 3
) -> Decimal | None:
    """Return a figure that is a number, within bounds and not finer than it can be kept; none stays none."""
    if value is None:
        return None
    if not value.is_finite() or not low <= value <= high:
        raise InputError(
            "This cannot be true",
            value=said(value, field),
            limit=with_unit(f"{low} to {high}", field),
            field=field,
        )
    exponent = value.normalize().as_tuple().exponent
    if isinstance(exponent, int) and -exponent > decimals:
        limit = f"{decimals} decimals"
        raise InputError("This is finer than it is kept", value=said(value, field), limit=limit, field=field)
    return value


def more_than_nothing(value: Decimal, field: str, *, high: int, decimals: int = 3) -> Decimal:
    """Return a figure above zero, within its bound."""
    bounded(value, field, high=high, decimals=decimals)
    if not value:
        raise InputError("This must be more than nothing", value=said(value, field), field=field)
    return value


def in_order(low: Decimal | None, high: Decimal | None, field: str) -> None:
    """Refuse a smallest figure above the largest; both are checked to be numbers before."""
    if low is not None and high is not None and low > high:
        ends = said(low, field), said(high, field)
        raise InputError("The smaller end is above the larger one", value=ends[0], limit=ends[1], field=field)


def said(value: Decimal, field: str) -> str:
    """Write a figure with the unit that the name of its field says, without zeros behind.

    >>> said(Decimal("3000.00"), "charge_min_g"), said(Decimal("2.5"), "price_per_kg")
    ('3000 g', '2.5')
    """
    plain = value.is_finite() and abs(value.adjusted()) < _LONGEST
    return with_unit(f"{value.normalize():f}" if plain else str(value), field)


def with_unit(text: str, field: str) -> str:
    """Write the unit that the name of a field says behind a text."""
    unit = "" if "_per_" in field else _UNITS.get(field.rpartition("_")[2], "")
    return f"{text} {unit}".rstrip()
