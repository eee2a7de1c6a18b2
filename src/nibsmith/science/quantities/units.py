"""The units of mass and how people spell them; figures and spellings come from the tables."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple, cast

from nibsmith.science.quantities.numerals import EXACT
from nibsmith.science.tables import load, load_data

_METRIC = ("mg", "g", "kg")


class Unit(NamedTuple):
    """A unit of mass: its symbol, its grams, and whether it is metric."""

    symbol: str
    grams: Decimal
    metric: bool


def _spellings(group: str) -> Mapping[str, list[str]]:
    return cast("Mapping[str, list[str]]", load_data("spellings")[group])


def _unit(symbol: str) -> Unit:
    return Unit(symbol, load("units")[symbol].decimal, symbol in _METRIC)


UNITS: Mapping[str, Unit] = MappingProxyType({symbol: _unit(symbol) for symbol in _spellings("mass")})
GRAMS_PER: Mapping[str, Decimal] = MappingProxyType({symbol: unit.grams for symbol, unit in UNITS.items()})
GRAMS_PER_OUNCE = GRAMS_PER["oz"]
GRAMS_PER_POUND = GRAMS_PER["lb"]
OUNCES_PER_POUND = EXACT.divide(GRAMS_PER_POUND, GRAMS_PER_OUNCE)

SPELLED: Mapping[str, Unit] = MappingProxyType(
    {word: UNITS[symbol] for symbol, words in _spellings("mass").items() for word in words}
)
VOLUMES = frozenset(word for words in _spellings("volume").values() for word in words)


def unit_of(word: str) -> Unit | None:
    """Return the unit a word names, or None where it names none.

    Examples
    --------
    >>> unit_of("Pounds").symbol
    'lb'
    """
    return SPELLED.get(word) or SPELLED.get(word.lower())
