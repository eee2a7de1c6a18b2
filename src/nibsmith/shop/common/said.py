"""Texts of answers and sheets in the signs of the workshop: decimal sign, first scale of temperature."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any, Protocol, TypeVar

from nibsmith.answers.answer import Citation, Remedy
from nibsmith.science.quantities import format_mass

Thing = TypeVar("Thing")

# A decimal point stands between digits; a section of a law has more of them, or a bracket behind.
_DECIMAL = re.compile(r"(?<![\d.])(\d[\d\u202f]*)\.(\d+)(?![\d(]|\.\d)")
_NUMBER = r"(?:\u2212\d[\d.]* to |\d[\d.]*\u2013)?\u2212?\d[\d.]*"
_DEGREES = re.compile(rf"({_NUMBER})\u00a0°C \(({_NUMBER})\u00a0°F\)")
_GRAMS = re.compile(r"(\d[\d\u202f]*(?:\.\d+)?)\u00a0g\b(?! per| of water)")
_UNIT = re.compile(r"(?<=\d) (?=(?:%|°C|°F|1/s|K|kg|g|h|min|s|µm|mm)(?!\w))")
_OUNCE_STEP = Decimal("0.01")
_AS_THEY_ARE = (Citation, Remedy)  # a place in a source is no figure; a remedy is found again by its sentence


class Signs(Protocol):
    """The settings that texts follow."""

    @property
    def decimal_sign(self) -> str | None: ...
    @property
    def temperature_unit(self) -> str: ...
    @property
    def mass_unit(self) -> str: ...


def said(text: str, signs: Signs) -> str:
    """Return a text with its figures in the signs of the workshop."""
    if signs.temperature_unit == "F":
        text = _DEGREES.sub("\\2\u00a0°F (\\1\u00a0°C)", text)
    return _DECIMAL.sub(r"\1,\2", text) if signs.decimal_sign == "," else text


def unbroken(text: str) -> str:
    """Return a text in which no line ends between a number and its unit.

    >>> unbroken("Cocoa: 62 % minimum.").split()
    ['Cocoa:', '62', '%', 'minimum.']
    >>> len(unbroken("Cocoa: 62 % minimum.").split(" "))
    3
    """
    return _UNIT.sub("\u00a0", text)


def with_ounces(text: str, signs: Signs) -> str:
    """Return a text whose grams have ounces beside them where the workshop counts in them."""
    return _GRAMS.sub(_ounces, text) if signs.mass_unit == "oz" else text


def _ounces(grams: re.Match[str]) -> str:
    ounces = format_mass(Decimal(grams[1].replace("\u202f", "")), "lb oz", _OUNCE_STEP)
    return f"{grams[0]} ({ounces})"


def said_in(thing: Thing, signs: Signs) -> Thing:
    """Return a value, such as an answer or a sheet, with every text in it in the signs of the workshop."""
    if signs.decimal_sign != "," and signs.temperature_unit == "C":
        return thing
    told: Thing = _each(thing, lambda text: said(text, signs))
    return told


def unbroken_in(thing: Thing) -> Thing:
    """Return a value with every text in it such that no line ends between a number and its unit."""
    told: Thing = _each(thing, unbroken)
    return told


def _each(thing: Any, change: Callable[[str], str]) -> Any:
    if isinstance(thing, str) and type(thing) is str:
        return change(thing)
    if isinstance(thing, tuple):
        return _tuple(thing, change)
    if is_dataclass(thing) and not isinstance(thing, (type, *_AS_THEY_ARE)):
        now = {field.name: getattr(thing, field.name) for field in fields(thing) if field.init}
        return replace(thing, **{name: _each(value, change) for name, value in now.items()})
    return thing


def _tuple(things: tuple[Any, ...], change: Callable[[str], str]) -> tuple[Any, ...]:
    """Return a tuple of the same kind: a named one keeps its names."""
    inside = [_each(each, change) for each in things]
    return type(things)(*inside) if hasattr(things, "_fields") else tuple(inside)
