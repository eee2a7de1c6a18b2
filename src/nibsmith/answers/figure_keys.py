"""The keys by which figures are named: the same in the document and in ``[limits]``."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from nibsmith.science.mixture import PROPERTIES

_SUFFIX = {"g": "percent", "mg": "mg_per_100g", "kcal": "kcal_per_100g", "kJ": "kj_per_100g"}


def figure_key(key: str) -> str:
    """Return the key of a property with its unit.

    Parameters
    ----------
    key : str
        A key of ``PROPERTIES``.

    Returns
    -------
    str
        Such as ``cocoa_butter_percent`` or ``caffeine_mg_per_100g``.

    Examples
    --------
    >>> figure_key("energy_eu"), figure_key("energy_eu_kj")
    ('energy_eu_kcal_per_100g', 'energy_eu_kj_per_100g')
    """
    suffix = _SUFFIX[PROPERTIES[key].unit]
    return f"{key.removesuffix('_kj')}_{suffix}"


BUTTER_OF_FAT = "cocoa_butter_of_fat"
"""Cocoa butter as a share of the fat phase: a ratio of two properties, and so none of its own."""

PROPERTY_OF: Mapping[str, str] = MappingProxyType(
    {**{figure_key(key): key for key in PROPERTIES}, f"{BUTTER_OF_FAT}_percent": BUTTER_OF_FAT}
)
"""The property that a figure's key names."""
