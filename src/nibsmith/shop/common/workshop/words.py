"""The words of the settings."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

DECIMAL_SIGNS: Mapping[str, str] = MappingProxyType(
    {"": "not chosen: ask where it matters", ".": "a point: 1.5 kg", ",": "a comma: 1,5 kg"}
)
MASS_UNITS: Mapping[str, str] = MappingProxyType({"g": "grams", "oz": "grams, with ounces beside them"})
TEMPERATURE_UNITS: Mapping[str, str] = MappingProxyType({"C": "°C", "F": "°F"})
PAPERS: Mapping[str, str] = MappingProxyType({"A4": "A4", "letter": "US letter"})
