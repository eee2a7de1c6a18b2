"""Bare numbers and temperatures as sentences and tables show them: one rounding, one minus sign."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.formats import (
    BEFORE_UNIT,
    MINUS,
    TENTH,
    THOUSANDS,
    Number,
    exact,
    round_half_up,
)
from nibsmith.science.quantities.numerals import DecimalSign
from nibsmith.science.quantities.temperature import Scale, Temperature

_MILLION = 1_000_000  # from here on the digits behind the sixth are whole ones and stay


def format_number(number: Number, resolution: Decimal = TENTH, decimal_sign: DecimalSign = ".") -> str:
    """Return a bare number as text, such as ``−5.0``.

    Parameters
    ----------
    number : Decimal, int or float
        The number [any unit].
    resolution : Decimal
        One step [the same unit].
    decimal_sign : str
        ``.`` or ``,``.

    Returns
    -------
    str
        Half up to the step, zeros kept; a true minus sign, none before a nought.

    Raises
    ------
    InputError
        If the number is not finite, or the step or decimal sign is none.

    Notes
    -----
    Range: up to 18 whole digits.

    Examples
    --------
    >>> format_number(-5.04), format_number(-0.04), format_number(7, Decimal(1))
    ('−5.0', '0.0', '7')
    """
    shown = round_half_up(number, resolution)
    if decimal_sign not in (".", ","):
        raise InputError("The decimal sign is a point or a comma", value=repr(decimal_sign))
    digits = f"{shown.copy_abs():,f}".replace(",", THOUSANDS).replace(".", decimal_sign)
    return f"{MINUS}{digits}" if shown < 0 else digits


def format_plain(number: Number) -> str:
    """Return a number as it was typed, to six digits and without zeros that say nothing, with a true minus.

    Examples
    --------
    >>> format_plain(-5.0), format_plain(22 / 3), format_plain(2e6) == format_number(2e6, Decimal(1))
    ('−5', '7.33333', True)
    """
    text = f"{number:,g}" if -_MILLION < number < _MILLION else f"{number:,.0f}"
    return text.replace(",", THOUSANDS).replace("-", MINUS)


def format_celsius(celsius: Number) -> str:
    """Return a temperature on both scales, such as ``31.5 °C (88.7 °F)``.

    Parameters
    ----------
    celsius : Decimal, int or float
        The temperature [°C].

    Returns
    -------
    str
        Each to a tenth of its own scale, without a zero that says nothing: what was typed in °F is shown
        as it was typed.

    Raises
    ------
    InputError
        If it is not finite, or below absolute zero.

    Notes
    -----
    Range: from absolute zero.

    Examples
    --------
    >>> " ".join(format_celsius(31.5).split()), " ".join(format_celsius(25 / 3).split())
    ('31.5 °C (88.7 °F)', '8.3 °C (47 °F)')

    References
    ----------
    [nist-sp811]
    """
    low, high = tenths_of(celsius, "C"), tenths_of(celsius, "F")
    return f"{low}{BEFORE_UNIT}°C ({high}{BEFORE_UNIT}°F)"


def tenths_of(celsius: Number, scale: Scale) -> str:
    """Return a temperature on one scale to a tenth, without unit and without a zero that says nothing.

    Examples
    --------
    >>> tenths_of(-18, "C"), tenths_of(-18, "F")
    ('−18', '−0.4')
    """
    warm = Temperature(exact(celsius), "C")
    return format_number(warm.celsius if scale == "C" else warm.fahrenheit).removesuffix(".0")
