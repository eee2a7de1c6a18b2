"""Figures as a page writes them: digits, a unit, and a dash where nothing is known."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.science.quantities import DecimalSign, format_percent
from nibsmith.science.quantities.formats import MINUS
from nibsmith.science.quantities.shown import format_number

UNKNOWN = "not known"
THIN = "\u202f"
NO_BREAK = "\u00a0"


def as_given(value: float | Decimal, sign: DecimalSign | None = None) -> str:
    """Write a figure with the digits its source gives, no more, and a true minus sign."""
    exact = Decimal(repr(value)) if isinstance(value, float) else value
    text = f"{exact.normalize():,f}".replace(",", THIN).replace("-", MINUS)
    return text.replace(".", ",") if sign == "," else text


def rounded(value: float | Decimal, step: Decimal, sign: DecimalSign | None = None) -> str:
    """Write a figure to a step, half up, zeros kept, with a true minus sign."""
    return format_number(value, step, sign or ".")


def with_unit(text: str, unit: str) -> str:
    """Join a figure and its unit so that no line ends between them."""
    return f"{text}{NO_BREAK}{unit}" if unit else text


def money(value: Decimal, currency: str, sign: DecimalSign | None = None) -> str:
    """Write an amount of money with two decimals, more only where they were given."""
    decimals = max(2, -int(value.normalize().as_tuple().exponent))
    text = f"{value:,.{decimals}f}".replace(",", THIN).replace("-", MINUS)
    return with_unit(text.replace(".", ",") if sign == "," else text, currency)


def percent(value: Decimal, sign: DecimalSign | None = None) -> str:
    """Write a share in percent to a tenth."""
    return format_percent(value, decimal_sign=sign or ".")
