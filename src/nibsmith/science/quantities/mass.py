"""A mass typed by a person, read once and exactly into grams."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import product
from typing import NamedTuple

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import clean, shown
from nibsmith.science.quantities.numerals import EXACT, DecimalSign, read_number
from nibsmith.science.quantities.refusals import AmbiguousQuantity, Reading, reading, refuse
from nibsmith.science.quantities.units import Unit, unit_of

# Runs of letters and runs of the rest exclude each other, so a match costs one pass.
_MASS = r"([^A-Za-z]+)([A-Za-z]+)(?:([^A-Za-z]+)([A-Za-z]+))?\.?"
_DOT_AND_SPACE = r"\.\s"


class _Amount(NamedTuple):
    numbers: tuple[Decimal, ...]
    unit: Unit


def parse_mass(text: str, *, decimal_sign: DecimalSign | None = None) -> Decimal:
    """Return a typed mass in grams, exactly.

    m = n x f, with n the number typed and f the grams of its unit; two units add.

    Parameters
    ----------
    text : str
        Such as ``1,5 kg``, ``1 lb 2 oz``, ``2 1/2 oz``, ``1½ lb``, ``1'040 g``.
    decimal_sign : str, optional
        ``.`` or ``,`` from the settings; it decides only what can be read two ways.

    Returns
    -------
    Decimal
        The mass [g]. Exact, but for a fraction that no decimal number holds (1/3): 40 digits, half up.

    Raises
    ------
    AmbiguousQuantity
        If it can be read in more than one way and no decimal sign decides.
    InputError
        If it has no unit, a unit of volume, a minus sign, an unknown word, or is no amount at all.

    Notes
    -----
    Range: up to 12 digits before and 12 behind the decimal sign; zero is a mass.
    Two units: one system, the larger first and whole, the smaller less than one of the larger.

    Examples
    --------
    >>> parse_mass("1 lb 2 oz")
    Decimal('510.291416250')
    >>> parse_mass("1,500 g", decimal_sign=".")
    Decimal('1500')
    >>> parse_mass("1,500 g")  # doctest: +IGNORE_EXCEPTION_DETAIL
    Traceback (most recent call last):
    AmbiguousQuantity: This can be read two ways

    References
    ----------
    [nist-hb44], [yard-pound-1959]
    """
    typed = clean(text)
    match = re.fullmatch(_MASS, typed)
    if match is None:
        raise refuse(typed)
    run, word, second_run, second_word = match.groups()
    amount = _amount(run, word, decimal_sign, typed)
    if second_word is not None:
        second = _amount(_after_unit(second_run), second_word, decimal_sign, typed)
        return _two_units(amount, second, typed)
    if len(amount.numbers) > 1:
        raise _ambiguous(amount, typed)
    return EXACT.multiply(amount.numbers[0], amount.unit.grams)


def _amount(run: str, word: str, decimal_sign: DecimalSign | None, typed: str) -> _Amount:
    unit = unit_of(word)
    numbers = read_number(run.strip(" \t"), decimal_sign)
    if unit is None or not numbers:
        raise refuse(typed)
    return _Amount(numbers, unit)


def _after_unit(run: str) -> str:
    """Return what stands between two units without the full stop of an abbreviation: ``1 lb. 2 oz``."""
    if run[0] not in ".,":
        return run
    return run[1:] if re.match(_DOT_AND_SPACE, run) else "?"


def _ambiguous(amount: _Amount, typed: str) -> AmbiguousQuantity:
    unit = amount.unit
    both = [reading(EXACT.multiply(number, unit.grams), number, unit.symbol) for number in amount.numbers]
    return AmbiguousQuantity(typed, both, settled_by_sign="/" not in typed)


def _two_units(first: _Amount, second: _Amount, typed: str) -> Decimal:
    _check_order(first.unit, second.unit, typed)
    pairs = _possible_pairs(first, second, typed)
    if len(pairs) > 1:
        readings = [_pair_reading(pair, first.unit, second.unit) for pair in pairs]
        raise AmbiguousQuantity(typed, readings, settled_by_sign="/" not in typed)
    return _pair_grams(pairs[0], first.unit, second.unit)


def _pair_grams(pair: tuple[Decimal, Decimal], large: Unit, small: Unit) -> Decimal:
    return EXACT.add(EXACT.multiply(pair[0], large.grams), EXACT.multiply(pair[1], small.grams))


def _pair_reading(pair: tuple[Decimal, Decimal], large: Unit, small: Unit) -> Reading:
    parts = [reading(number, number, unit.symbol) for number, unit in zip(pair, (large, small), strict=True)]
    typed, words = " ".join(part.typed for part in parts), ", ".join(part.words for part in parts)
    return Reading(_pair_grams(pair, large, small), typed, words)


def _check_order(first: Unit, second: Unit, typed: str) -> None:
    if first.metric != second.metric:
        what = f"{first.symbol} and {second.symbol} do not go together in one amount"
        raise InputError(what, value=shown(typed), advice="Write it in one of them.")
    if first.grams <= second.grams:
        what = f"{second.symbol} cannot follow {first.symbol} in one amount"
        raise InputError(what, value=shown(typed), advice="Put the larger unit first, such as 1 lb 2 oz.")


def _possible_pairs(first: _Amount, second: _Amount, typed: str) -> list[tuple[Decimal, Decimal]]:
    """Return the readings in which the larger unit is whole and the smaller less than one of it."""
    large, small = first.unit, second.unit
    limit = EXACT.divide(large.grams, small.grams)
    whole = [number for number in first.numbers if number == number.to_integral_value()]
    less = [number for number in second.numbers if number < limit]
    if not whole:
        what = f"With {small.symbol} after it the number of {large.symbol} must be whole"
        raise InputError(what, value=shown(typed), advice="Write it in one unit.")
    if not less:
        what, below = (
            f"The {small.symbol} are a whole {large.symbol} or more",
            f"below {limit:f} {small.symbol}",
        )
        raise InputError(what, value=shown(typed), limit=below, advice=f"Write all of it in {small.symbol}.")
    return list(product(whole, less))
