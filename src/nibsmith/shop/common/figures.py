"""Figures as a page writes them: digits, a unit, and a dash where nothing is known."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.science.quantities import DecimalSign, format_percent, round_half_up

UNKNOWN = "not known"
THIN = "\u202f"
NO_BREAK = "\u00a0"


def as_given(value: float | Decimal, sign: DecimalSign | None = None) -> str:
    """Write a figure with the digits its source gives, no more."""
    exact = Decimal(repr(value)) if isinstance(value, float) else value
    text = f"{exact.normalize():,f}".replace(",", THIN)
    return text.replace(".", ",") if sign == "," else text


def rounded(value: float | Decimal, step: Decimal, sign: DecimalSign | None = None) -> str:
    """Write a figure to a step, half up, zeros kept."""
    text = f"{round_half_up(value, step):,f}".replace(",", THIN)
    return text.replace(".", ",") if sign == "," else text


def with_unit(text: str, unit: str) -> str:
    """Join a figure and its unit so that no line ends between them."""
    return f"{text}{NO_BREAK}{unit}" if unit else text


def money(value: Decimal, currency: str, sign: DecimalSign | None = None) -> str:
    """Write an amount of money with two decimals, more only where they were given."""
    decimals = max(2, -int(value.normalize().as_tuple().exponent))
    text = f"{value:,.{decimals}f}".replace(",", THIN)
    return with_unit(text.replace(".", ",") if sign == "," else text, currency)


def percent(value: Decimal, sign: DecimalSign | None = None) -> str:
    """Write a share in percent to a tenth."""
    return format_percent(value, decimal_sign=sign or ".")
