"""A number in English words, so that two readings of it cannot be taken for each other."""

from __future__ import annotations

from decimal import Decimal

from nibsmith.science.errors import InputError

_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
_SMALL = (*_DIGITS, *_TEENS)
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_LARGEST = 10**6  # a number with one thousands mark is below it


def spell(number: Decimal) -> str:
    """Return a number of up to six whole digits in words.

    Parameters
    ----------
    number : Decimal
        From 0 to below a million.

    Returns
    -------
    str
        The whole part in words; decimals digit by digit after "point", without closing zeros.

    Raises
    ------
    InputError
        If the number is negative or too large.

    Examples
    --------
    >>> spell(Decimal("1500"))
    'one thousand five hundred'
    >>> spell(Decimal("1.050"))
    'one point zero five'
    """
    if not 0 <= number < _LARGEST:
        raise InputError("This number is not spelled in words", value=number, limit=_LARGEST)
    whole, _, decimals = f"{number:f}".partition(".")
    digits = decimals.rstrip("0")
    spelled = _spell_whole(int(whole))
    return f"{spelled} point {' '.join(_DIGITS[int(digit)] for digit in digits)}" if digits else spelled


def _spell_whole(number: int) -> str:
    if number < len(_SMALL):
        return _SMALL[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return _TENS[tens] + (f"-{_SMALL[ones]}" if ones else "")
    if number < 1000:
        return _above(number, 100, "hundred", " and ")
    return _above(number, 1000, "thousand", " and " if number % 1000 < 100 else " ")


def _above(number: int, size: int, name: str, joint: str) -> str:
    count, rest = divmod(number, size)
    return f"{_spell_whole(count)} {name}" + (f"{joint}{_spell_whole(rest)}" if rest else "")
