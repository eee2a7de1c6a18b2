"""A mass of which only figures are known, as a recipe that the answers can read."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form, Kind, Part, Recipe, own_ingredient, part
from nibsmith.science.tables import load
from nibsmith.science.temper import Chocolate

_PERCENT = 100
USUAL_MASS_G = 1000.0


@dataclass(frozen=True, slots=True)
class KnownMass:
    """What is known of a mass: its kind, all its fat and its lecithin [%], how much there is [g]."""

    chocolate: Chocolate
    fat_percent: float
    lecithin_percent: float = 0.0
    mass_g: float = USUAL_MASS_G


def known_mass(known: KnownMass) -> Recipe:
    """Return a recipe with the figures of a mass, its solids shared out as is usual for its kind.

    Parameters
    ----------
    known : KnownMass
        Kind, fat, lecithin, weight.

    Returns
    -------
    Recipe
        Nibs, cocoa butter, milk and sugar without water; nibs bring the butter that coarse cocoa can keep.

    Raises
    ------
    InputError
        If fat and lecithin cannot be shares of one mass.

    Examples
    --------
    >>> from nibsmith.science.mixture import as_weighed
    >>> dark = known_mass(KnownMass(Chocolate.DARK, 38.0, 0.3))
    >>> mixture = as_weighed(dark)
    >>> round(mixture.percent("total_fat"), 6), round(mixture.percent("emulsifier"), 6), dark.total_g
    (38.0, 0.3, 1000.0)
    """
    _check(known)
    table, kind = load("usual_mass"), known.chocolate.value
    fat_g = known.mass_g * known.fat_percent / _PERCENT
    lecithin_g = known.mass_g * known.lecithin_percent / _PERCENT
    solids_g = known.mass_g - fat_g - lecithin_g
    cocoa_g, milk_g = (solids_g * table[f"{kind}_{what}"].value for what in ("cocoa", "milk"))
    milk_fat_g = fat_g * table[f"{kind}_milk_fat"].value
    nib_butter_g = min(fat_g - milk_fat_g, cocoa_g * table["nib_butter"].value)
    made = (
        _ground("Nibs", Kind.NIB, cocoa_g, nib_butter_g),
        _ground("Cocoa butter", Kind.BUTTER, 0.0, fat_g - milk_fat_g - nib_butter_g),
        _ground("Milk", Kind.MILK, milk_g, milk_fat_g),
        _ground("Sugar", Kind.SUGAR, solids_g - cocoa_g - milk_g, 0.0),
        part("lecithin_soy", lecithin_g, label="lecithin") if lecithin_g else None,
    )
    name = f"{kind.capitalize()} mass with {known.fat_percent:g} % fat"
    return Recipe(name, Form.BAR, tuple(one for one in made if one is not None))


def _ground(name: str, kind: Kind, solids_g: float, fat_g: float) -> Part | None:
    """Return a dry ingredient with so much fat and so much that is not fat."""
    total_g = solids_g + fat_g
    if total_g <= 0:
        return None
    sugar = _PERCENT if kind is Kind.SUGAR else 0.0
    fat = min(_PERCENT, _PERCENT * fat_g / total_g)
    sheet = {"fat_g": fat, "water_g": 0.0, "sugars_g": sugar, "added_sugars_g": sugar}
    return part(own_ingredient(name, kind, sheet), total_g, label=kind.value)


def _check(known: KnownMass) -> None:
    if not known.mass_g > 0:
        raise InputError("There must be some of the mass", value=f"{known.mass_g:g} g", field="mass_g")
    if not 0 < known.fat_percent < _PERCENT:
        what, value = "This cannot be the fat of a mass", f"{known.fat_percent:g} %"
        raise InputError(what, value=value, limit="between 0 and 100 %", field="fat_percent")
    if not 0 <= known.lecithin_percent < _PERCENT - known.fat_percent:
        what, value = "This cannot be the lecithin of a mass", f"{known.lecithin_percent:g} %"
        limit = f"less than {_PERCENT - known.fat_percent:g} %"
        raise InputError(what, value=value, limit=limit, field="lecithin_percent")
