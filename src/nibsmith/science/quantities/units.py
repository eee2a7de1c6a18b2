"""The units of mass and how people spell them; figures and spellings come from the tables."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import NamedTuple, cast

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load, load_data

_METRIC = ("mg", "g", "kg")


class Unit(NamedTuple):
    """A unit of mass: its symbol, its grams, and whether it is metric."""

    symbol: str
    grams: Decimal
    metric: bool


@cache
def units() -> Mapping[str, Unit]:
    """Return the units of mass by their symbol, the metric ones first."""
    table = load("units")
    return MappingProxyType(
        {symbol: Unit(symbol, table[symbol].decimal, symbol in _METRIC) for symbol in _spellings("mass")}
    )


@cache
def volumes() -> frozenset[str]:
    """Return the words for measures of volume, which are no mass: cup, spoon, ml."""
    return frozenset(word for words in _spellings("volume").values() for word in words)


def grams_per(symbol: str) -> Decimal:
    """Return the grams of one unit of mass, exactly.

    Parameters
    ----------
    symbol : str
        ``mg``, ``g``, ``kg``, ``oz`` or ``lb``.

    Returns
    -------
    Decimal
        Its mass [g].

    Raises
    ------
    InputError
        If the symbol is none of these.

    Examples
    --------
    >>> grams_per("oz")
    Decimal('28.349523125')

    References
    ----------
    [nist-hb44], [yard-pound-1959]
    """
    unit = units().get(symbol)
    if unit is None:
        raise InputError("This is no unit of mass", value=symbol, limit=", ".join(units()))
    return unit.grams


def unit_of(word: str) -> Unit | None:
    """Return the unit a word names, or None where it names none.

    Examples
    --------
    >>> unit_of("Pounds").symbol
    'lb'
    """
    return _spelled().get(word) or _spelled().get(word.lower())


@cache
def _spelled() -> Mapping[str, Unit]:
    return {word: units()[symbol] for symbol, words in _spellings("mass").items() for word in words}


def _spellings(group: str) -> Mapping[str, list[str]]:
    return cast("Mapping[str, list[str]]", load_data("spellings")[group])
