"""Bounds of the figures that records keep, checked once before they are stored."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.science.errors import InputError


def bounded(
    value: Decimal | None, field: str, *, low: int = 0, high: int = 100, decimals: int = 3
) -> Decimal | None:
    """Return a figure that is a number, within bounds and not finer than it can be kept; none stays none."""
    if value is None:
        return None
    if not value.is_finite() or not low <= value <= high:
        raise InputError("This cannot be true", value=value, limit=f"{low} to {high}", field=field)
    exponent = value.normalize().as_tuple().exponent
    if isinstance(exponent, int) and -exponent > decimals:
        limit = f"{decimals} decimals"
        raise InputError("This is finer than it is kept", value=value, limit=limit, field=field)
    return value


def more_than_nothing(value: Decimal, field: str, *, high: int, decimals: int = 3) -> Decimal:
    """Return a figure above zero, within its bound."""
    bounded(value, field, high=high, decimals=decimals)
    if not value:
        raise InputError("This must be more than nothing", value=value, field=field)
    return value


def in_order(low: Decimal | None, high: Decimal | None, field: str) -> None:
    """Refuse a smallest figure above the largest; both are checked to be numbers before."""
    if low is not None and high is not None and low > high:
        raise InputError("The smaller end is above the larger one", value=low, limit=high, field=field)
