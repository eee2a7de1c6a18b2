"""Temperatures and differences of temperature, two types that never stand in for each other."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, total_ordering
from typing import Literal, NamedTuple, overload

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import clean, shown
from nibsmith.science.quantities.numerals import EXACT, read_number
from nibsmith.science.tables import load

Scale = Literal["C", "F"]

_DEGREES = (
    r"(?ia)(-?)[ ]*([^A-Za-z°-]+)(?:°|deg\.?|degrees?)?[ \t]*"
    r"(c|f|k|celsius|centigrade|fahrenheit|kelvins?)?\.?"
)


class Scales(NamedTuple):
    """How the scales lie to each other: 0 °C in K and °F, °F in a kelvin, and the hottest typed [°C]."""

    celsius_zero_k: Decimal
    fahrenheit_zero: Decimal
    fahrenheit_per_kelvin: Decimal
    hottest_celsius: Decimal


@cache
def scales() -> Scales:
    """Return the figures of the two scales, exact by definition [nist-sp811]."""
    keys = ("celsius_zero", "fahrenheit_zero", "fahrenheit_per_kelvin", "hottest")
    return Scales(*(load("units")[key].decimal for key in keys))


@dataclass(frozen=True, slots=True)
class TemperatureDifference:
    """How much warmer one thing is than another [K]; a degree Celsius of difference is a kelvin."""

    kelvin: Decimal

    def __add__(self, other: TemperatureDifference) -> TemperatureDifference:
        if not isinstance(other, TemperatureDifference):
            return NotImplemented
        return TemperatureDifference(EXACT.add(self.kelvin, other.kelvin))

    def __neg__(self) -> TemperatureDifference:
        return TemperatureDifference(self.kelvin.copy_negate())


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Temperature:
    """A temperature as it was given, on its own scale, so that no conversion is lost.

    T/K = t/°C + 273.15 and t/°C = (t/°F - 32)/1.8.

    Parameters
    ----------
    value : Decimal
        The figure on the scale [°C or °F].
    scale : str
        ``C`` or ``F``.

    Raises
    ------
    InputError
        If it is no number, below absolute zero, or the scale is another one.

    Notes
    -----
    Range: from absolute zero. Two temperatures are equal when they are the same heat, whatever their scale.

    Examples
    --------
    >>> Temperature(Decimal("88"), "F") == Temperature(Decimal("31"), "C")
    False
    >>> Temperature(Decimal("212"), "F") == Temperature(Decimal("100"), "C")
    True
    >>> (Temperature(Decimal("31.5"), "C") - Temperature(Decimal("27"), "C")).kelvin
    Decimal('4.5')

    References
    ----------
    [nist-sp811]
    """

    value: Decimal
    scale: Scale

    def __post_init__(self) -> None:
        if self.scale not in ("C", "F"):
            raise InputError("A temperature is in °C or °F", value=repr(self.scale))
        if not self.value.is_finite():
            raise InputError("A temperature is a finite number", value=self.value)
        if self.kelvin < 0:
            value, limit = f"{self.value} °{self.scale}", f"-{scales().celsius_zero_k} °C"
            raise InputError("Nothing is colder than absolute zero", value=value, limit=limit)

    @property
    def celsius(self) -> Decimal:
        """The temperature [°C]: exact as typed in °C, to 40 digits where it was typed in °F."""
        return self.value if self.scale == "C" else EXACT.divide(self._scaled, scales().fahrenheit_per_kelvin)

    @property
    def fahrenheit(self) -> Decimal:
        """The temperature [°F], exact."""
        return self.value if self.scale == "F" else EXACT.add(self._scaled, scales().fahrenheit_zero)

    @property
    def kelvin(self) -> Decimal:
        """The temperature [K]."""
        return EXACT.add(self.celsius, scales().celsius_zero_k)

    @property
    def _scaled(self) -> Decimal:
        """1.8 times the figure in °C: exact from either scale, so temperatures are compared by it."""
        if self.scale == "F":
            return EXACT.subtract(self.value, scales().fahrenheit_zero)
        return EXACT.multiply(self.value, scales().fahrenheit_per_kelvin)

    def __eq__(self, other: object) -> bool:
        return self._scaled == other._scaled if isinstance(other, Temperature) else NotImplemented

    def __lt__(self, other: Temperature) -> bool:
        if not isinstance(other, Temperature):
            return NotImplemented
        return self._scaled < other._scaled

    def __hash__(self) -> int:
        return hash(self._scaled)

    def __add__(self, other: TemperatureDifference) -> Temperature:
        if not isinstance(other, TemperatureDifference):
            return NotImplemented
        size = Decimal(1) if self.scale == "C" else scales().fahrenheit_per_kelvin
        return Temperature(EXACT.add(self.value, EXACT.multiply(other.kelvin, size)), self.scale)

    @overload
    def __sub__(self, other: Temperature) -> TemperatureDifference: ...
    @overload
    def __sub__(self, other: TemperatureDifference) -> Temperature: ...
    def __sub__(self, other: Temperature | TemperatureDifference) -> Temperature | TemperatureDifference:
        if isinstance(other, TemperatureDifference):
            return self + -other
        if not isinstance(other, Temperature):
            return NotImplemented
        return TemperatureDifference(
            EXACT.divide(EXACT.subtract(self._scaled, other._scaled), scales().fahrenheit_per_kelvin)
        )


def parse_temperature(text: str, *, bare: Scale | None = None) -> Temperature:
    """Return a typed temperature on the scale it was typed in.

    Parameters
    ----------
    text : str
        Such as ``31.5 °C``, ``31,5C``, ``88F``, ``-18 °C``, ``88 degrees fahrenheit``.
    bare : str, optional
        The scale ``C`` or ``F`` where the field already says it, so that a number alone is enough.

    Returns
    -------
    Temperature
        The temperature, kept as typed.

    Raises
    ------
    InputError
        If the scale is missing, it is in kelvin, is no temperature, or lies out of range.

    Notes
    -----
    Range: absolute zero to 500 °C, above which a typed figure is taken for a slip. A point or comma is
    always the decimal sign: no temperature in that range has thousands.

    Examples
    --------
    >>> parse_temperature("88 °F").celsius.quantize(Decimal("0.01"))
    Decimal('31.11')
    >>> parse_temperature("31,5", bare="C")
    Temperature(value=Decimal('31.5'), scale='C')

    References
    ----------
    [nist-sp811], [common-practice]
    """
    value, scale, typed = _read_degrees(text)
    letter = scale or bare
    if letter == "K":
        raise InputError(
            "Kelvin is kept for differences here", value=shown(typed), advice="Write it in °C or °F."
        )
    if letter is None:
        raise InputError(
            "A temperature needs its scale", value=shown(typed), advice="Write °C or °F after it."
        )
    temperature = Temperature(value, letter)
    if temperature > Temperature(scales().hottest_celsius, "C"):
        raise InputError(
            "This is hotter than anything here", value=shown(typed), limit=f"{scales().hottest_celsius} °C"
        )
    return temperature


def parse_temperature_difference(text: str) -> TemperatureDifference:
    """Return a typed difference of two temperatures.

    Parameters
    ----------
    text : str
        Such as ``1.5 K``, ``2 °C``, ``4 °F``, ``-1 K``.

    Returns
    -------
    TemperatureDifference
        The difference [K]: exact from K and °C, to 40 digits from °F.

    Raises
    ------
    InputError
        If the unit is missing or it is no difference.

    Notes
    -----
    Range: between minus and plus 500 K.

    Examples
    --------
    >>> parse_temperature_difference("4.5 °F").kelvin
    Decimal('2.5')

    References
    ----------
    [nist-sp811]
    """
    value, scale, typed = _read_degrees(text)
    if scale is None:
        raise InputError(
            "A difference needs its unit", value=shown(typed), advice="Write K, °C or °F after it."
        )
    kelvin = EXACT.divide(value, scales().fahrenheit_per_kelvin) if scale == "F" else value
    if kelvin.copy_abs() > scales().hottest_celsius:
        raise InputError(
            "This difference is too large", value=shown(typed), limit=f"{scales().hottest_celsius} K"
        )
    return TemperatureDifference(kelvin)


def _read_degrees(text: str) -> tuple[Decimal, Literal["C", "F", "K"] | None, str]:
    typed = clean(text)
    match = re.fullmatch(_DEGREES, typed)
    numbers = read_number(match[2].strip(" \t")) if match else ()
    if match is None or not numbers or "/" in typed:
        raise InputError(
            "This is not a temperature", value=shown(typed), advice="Write it such as 31.5 °C or 88 °F."
        )
    value = (
        numbers[0].copy_negate() if match[1] else numbers[0]
    )  # the first reading takes the point or comma for decimals
    letters: dict[str, Literal["C", "F", "K"]] = {"c": "C", "f": "F", "k": "K"}
    return value, letters[match[3][0].lower()] if match[3] else None, typed
