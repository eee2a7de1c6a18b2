"""A typed number: whole, with a decimal sign, with thousands marks, or with a fraction.

Nothing here knows a unit. A number that can be read two ways gives both readings.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import ROUND_HALF_UP, Context, Decimal, DivisionByZero, InvalidOperation, Overflow
from typing import Literal

from nibsmith.science.errors import InputError

DecimalSign = Literal[".", ","]

# 24 typed digits times the 11 of an ounce in grams stay exact in 40; thirds, sevenths and so on are rounded.
EXACT = Context(prec=40, rounding=ROUND_HALF_UP, traps=[InvalidOperation, DivisionByZero, Overflow])


# The one-sign fractions of Unicode: ½ and its like, in the blocks Latin-1 Supplement and Number Forms.
_FRACTIONS = (*range(0xBC, 0xBF), *range(0x2150, 0x215F), 0x2189)


def _above_and_below(code: int) -> tuple[int, int]:
    """Return the two numbers of a one-sign fraction: (1, 2) for ½."""
    above, _, below = unicodedata.normalize("NFKC", chr(code)).partition("\u2044")
    return int(above), int(below)


VULGAR = {chr(code): _above_and_below(code) for code in _FRACTIONS}
VULGAR_SIGNS = "".join(VULGAR)

_NUMBER = rf"""(?x)
    (?P<plain>[0-9]{{1,12}})
    | (?P<whole>[0-9]{{0,12}})(?P<point>[.,])(?P<tail>[0-9]{{1,12}})
    | (?P<groups>[1-9][0-9]{{0,2}}(?P<mark>[ ',.])[0-9]{{3}}(?:(?P=mark)[0-9]{{3}}){{0,2}})
      (?:(?P<sign>[.,])(?P<decimals>[0-9]{{1,12}}))?
    | (?:(?P<ones>[0-9]{{1,12}})[ ])?(?P<above>[0-9]{{1,2}})[ ]?/[ ]?(?P<below>[0-9]{{1,2}})
    | (?P<count>[0-9]{{1,12}})?[ ]?(?P<vulgar>[{VULGAR_SIGNS}])
    """


def read_number(run: str, decimal_sign: DecimalSign | None = None) -> tuple[Decimal, ...]:
    """Return every way a number can be read, under the decimal sign where one is set.

    Parameters
    ----------
    run : str
        Digits with their signs, cleaned, without unit and without space at the ends.
    decimal_sign : str, optional
        The maker's decimal sign; it decides only between two possible readings.

    Returns
    -------
    tuple of Decimal
        Empty where it is no number, one reading, or two.

    Raises
    ------
    InputError
        If the decimal sign is neither ``.`` nor ``,``.

    Notes
    -----
    One point or comma with three digits behind it and one to three before it (not beginning with 0) can set
    off thousands or decimals. ``11/2`` can be five and a half, or one and a half with its space lost.

    Examples
    --------
    >>> read_number("1,5")
    (Decimal('1.5'),)
    >>> read_number("1,500")
    (Decimal('1.500'), Decimal('1500'))
    >>> read_number("1,500", ".")
    (Decimal('1500'),)
    """
    match = re.fullmatch(_NUMBER, run)
    if decimal_sign not in (None, ".", ","):
        raise InputError("The decimal sign is a point or a comma", value=repr(decimal_sign))
    if match is None:
        return ()
    kind = match.lastgroup
    if kind == "plain":
        return (Decimal(run),)
    if kind == "tail":
        return _decimal(match, decimal_sign)
    if kind in ("groups", "decimals"):
        return _grouped(match)
    return _fraction(match) if kind == "below" else _one_sign_fraction(match)


def _decimal(match: re.Match[str], decimal_sign: DecimalSign | None) -> tuple[Decimal, ...]:
    whole, point, tail = match["whole"], match["point"], match["tail"]
    broken = Decimal(f"{whole}.{tail}")
    if len(tail) != 3 or not 0 < len(whole) <= 3 or whole[0] == "0":
        return (broken,)
    thousands = Decimal(whole + tail)
    if decimal_sign is None:
        return (broken, thousands)
    return (broken,) if decimal_sign == point else (thousands,)


def _grouped(match: re.Match[str]) -> tuple[Decimal, ...]:
    mark, sign = match["mark"], match["sign"]
    if mark == sign:
        return ()
    return (Decimal(match["groups"].replace(mark, "") + (f".{match['decimals']}" if sign else "")),)


def _fraction(match: re.Match[str]) -> tuple[Decimal, ...]:
    ones, above, below = match["ones"], match["above"], int(match["below"])
    if not below:
        return ()
    if ones is not None:
        return (_mixed(int(ones), int(above), below),) if int(above) < below else ()
    fraction = _mixed(0, int(above), below)
    lost_space = len(above) == 2 and "0" not in above and int(above[1]) < below <= int(above)
    return (fraction, _mixed(int(above[0]), int(above[1]), below)) if lost_space else (fraction,)


def _one_sign_fraction(match: re.Match[str]) -> tuple[Decimal, ...]:
    return (_mixed(int(match["count"] or 0), *VULGAR[match["vulgar"]]),)


def _mixed(ones: int, above: int, below: int) -> Decimal:
    return EXACT.divide(Decimal(ones * below + above), Decimal(below))
