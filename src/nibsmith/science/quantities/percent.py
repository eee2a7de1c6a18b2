"""A share in percent, or a bare number, where the field already says what it counts."""

from __future__ import annotations

import re
from decimal import Decimal

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import clean, shown
from nibsmith.science.quantities.numerals import DecimalSign, read_number
from nibsmith.science.quantities.refusals import AmbiguousQuantity, reading

HUNDRED = Decimal(100)
_PERCENT = r"(?ia)([^%A-Za-z]+)(%|per[ \t]*cent\.?|pct\.?)?"


def parse_percent(
    text: str, *, decimal_sign: DecimalSign | None = None, bare: bool = False, most: Decimal = HUNDRED
) -> Decimal:
    """Return a typed share in percent.

    Parameters
    ----------
    text : str
        Such as ``52 %``, ``52,5%``, ``33.333 %``, ``12½ per cent``.
    decimal_sign : str, optional
        ``.`` or ``,`` from the settings; it decides only what can be read two ways.
    bare : bool
        Whether the field already says percent, so that a number alone is enough.
    most : Decimal
        The largest share that makes sense here [%]. A reading above it is no reading: ``33,333 %`` is
        a third, not thirty-three thousand.

    Returns
    -------
    Decimal
        The share [%].

    Raises
    ------
    AmbiguousQuantity
        If two readings are both possible and no decimal sign decides.
    InputError
        If it is no share, lacks its sign, is negative or above ``most``.

    Notes
    -----
    Range: 0 to ``most``.

    Examples
    --------
    >>> parse_percent("52,5%")
    Decimal('52.5')
    >>> parse_percent("33.333", bare=True)
    Decimal('33.333')
    """
    typed = clean(text)
    match = re.fullmatch(_PERCENT, typed)
    if match is None or (match[2] is None and not bare):
        raise _no_percent(typed)
    return _possible(match[1].strip(" \t"), typed, (decimal_sign, most, "%"))


def parse_number(
    text: str, *, decimal_sign: DecimalSign | None = None, most: Decimal | None = None
) -> Decimal:
    """Return a typed number without unit: bars, hours, a price, micrometres.

    Parameters
    ----------
    text : str
        Such as ``12``, ``1 040``, ``2½``, ``0,75``.
    decimal_sign : str, optional
        ``.`` or ``,`` from the settings; it decides only what can be read two ways.
    most : Decimal, optional
        The largest number that makes sense here [in the unit of the field].

    Returns
    -------
    Decimal
        The number, never negative [in the unit of the field].

    Raises
    ------
    AmbiguousQuantity
        If two readings are both possible and no decimal sign decides.
    InputError
        If it is no number, carries a unit, is negative or above ``most``.

    Notes
    -----
    Range: 0 to ``most``, up to 12 digits before and 12 behind the decimal sign.

    Examples
    --------
    >>> parse_number("1 040")
    Decimal('1040')
    """
    typed = clean(text)
    return _possible(typed, typed, (decimal_sign, most, ""))


def _possible(run: str, typed: str, rule: tuple[DecimalSign | None, Decimal | None, str]) -> Decimal:
    """Return the one reading within the limit; where two are, the decimal sign decides."""
    decimal_sign, most, unit = rule
    numbers = read_number(run)
    if not numbers:
        raise _no_number(typed, unit)
    possible = [number for number in numbers if most is None or number <= most]
    if not possible:
        raise InputError("This is more than it can be", value=shown(typed), limit=f"{most:f} {unit}".strip())
    if len(possible) > 1:
        possible = list(read_number(run, decimal_sign))
    if len(possible) > 1:
        ways = [reading(number, number, unit) for number in possible]
        raise AmbiguousQuantity(typed, ways, settled_by_sign="/" not in typed)
    return possible[0]


def _no_percent(typed: str) -> InputError:
    if read_number(typed):
        return InputError("A share needs its sign", value=shown(typed), advice="Write 52 %.")
    return _no_number(typed, "%")


def _no_number(typed: str, unit: str) -> InputError:
    example = f"52.5 {unit}" if unit else "52.5"
    if "-" in typed:
        return InputError(
            "A dash is not read here", value=shown(typed), advice=f"Write it such as {example}."
        )
    what = "This is not a share in percent" if unit else "This is not a number"
    return InputError(what, value=shown(typed), advice=f"Write it such as {example}.")
