"""Water that the parts of a mass bring, told apart by whose it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nibsmith.science.keep.classify import is_liquid, is_wet_food
from nibsmith.science.mixture import COCOA_KINDS, Kind, Leaf, Limit, Recipe, Span, least_solids
from nibsmith.science.tables import load


@dataclass(frozen=True)
class MassWater:
    """Water in a mass as charged [g per 100 g of mass in the machine].

    ``cocoa`` is the cocoa's own, with a range where that of a cocoa part is not known; ``milk`` the usual
    water of milk powder; ``extra`` what other dry parts bring, with such a range too; ``wet`` what liquids
    and wet foods bring; ``liquids`` are these, ``unknown`` the other parts and ``unknown_cocoa`` the cocoa
    whose water is not known.
    """

    mass_g: float
    cocoa: Span
    milk: float
    extra: Span
    wet: float
    liquids: tuple[Leaf, ...]
    unknown: tuple[str, ...]
    unknown_cocoa: tuple[str, ...] = ()

    @property
    def charged(self) -> Span:
        """All of it but what liquids and wet foods bring: what stays in a mass that nothing dries."""
        return self.cocoa + self.extra + Span.exactly(self.milk)


def mass_water(recipe: Recipe) -> MassWater:
    """Return the water that goes into the machine, told apart by whose it is.

    ``100 · sum(m · w) / sum(m)`` over the parts in the machine. Cocoa's own water is a loss with a name. A
    milk powder may hold 5 %, which is its own; what is above is extra. A part whose water is not known brings
    between none and all that its sheet leaves room for.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up.

    Returns
    -------
    MassWater
        All zero where nothing goes into the machine [g/100 g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> parts = (part("cocoa_mass", 40.0), part("sugar_granulated", 40.0), part("milk_powder_whole", 20.0))
    >>> water = mass_water(Recipe("milk", Form.BAR, parts))
    >>> round(water.milk, 2), round(water.extra.value, 2)
    (0.49, 0.01)

    References
    ----------
    [codex207], [common-practice]
    """
    leaves = [leaf for leaf in recipe.leaves() if leaf.in_machine and leaf.mass_g > 0]
    mass_g = sum(leaf.mass_g for leaf in leaves)
    per_100 = 100 / mass_g if mass_g else 0.0
    known_g = sum(leaf.mass_g * (extra_water(leaf) or 0.0) for leaf in leaves)
    liquids = tuple(leaf for leaf in leaves if _is_wet(leaf))
    doubtful = [leaf for leaf in leaves if extra_water(leaf) is None]
    cocoa = [leaf for leaf in leaves if leaf.kind in COCOA_KINDS]
    untold = [leaf for leaf in cocoa if "water_g" not in leaf.ingredient.composition]
    cocoa_g = sum(leaf.mass_g * _share(leaf) for leaf in cocoa)
    return MassWater(
        mass_g=mass_g,
        cocoa=Span(cocoa_g, cocoa_g, cocoa_g + _room_g(untold)).times(per_100),
        milk=per_100 * sum(leaf.mass_g * _usual_milk(leaf) for leaf in leaves),
        extra=Span(known_g, known_g, known_g + _room_g(doubtful)).times(per_100),
        wet=per_100 * sum(leaf.mass_g * _share(leaf) for leaf in liquids),
        liquids=liquids,
        unknown=tuple(dict.fromkeys(leaf.ingredient.name for leaf in doubtful)),
        unknown_cocoa=tuple(dict.fromkeys(leaf.ingredient.name for leaf in untold)),
    )


def extra_water(leaf: Leaf) -> float | None:
    """Return the water that one gram of a part brings beyond what is its own and usual.

    Parameters
    ----------
    leaf : Leaf
        The ingredient inside a recipe.

    Returns
    -------
    float or None
        Water [g/g]; none for cocoa and for liquids, which stand apart; for milk what is above 5 %; ``None``
        where it is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> [extra_water(leaf) for leaf in Recipe("b", Form.BAR, (part("coconut_sugar", 1.0),)).leaves()]
    [0.02]

    References
    ----------
    [codex207]
    """
    if leaf.kind in COCOA_KINDS or _is_wet(leaf):
        return 0.0
    if "water_g" not in leaf.ingredient.composition:
        return None
    return _share(leaf) - _usual_milk(leaf)


def water_limit(recipe: Recipe, high_percent: float) -> Limit:
    """Return the limit on the extra water of a mass, at its known end.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    high_percent : float
        Most water [g per 100 g of mass in the machine].

    Returns
    -------
    Limit
        Linear in the masses of the parts [g].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 90.0), part("cinnamon", 10.0)))
    >>> round(water_limit(bar, 0.3).value({"cocoa_mass": 90.0, "cinnamon": 10.0}), 4)
    0.0106

    References
    ----------
    [common-practice]
    """
    unit = recipe.weighing({part.label: 1.0 for part in recipe.parts})
    water = {part.label: 0.0 for part in recipe.parts}
    mass = dict(water)
    for leaf in unit.leaves():
        if leaf.in_machine:
            water[leaf.part.label] += leaf.mass_g * (extra_water(leaf) or 0.0)
            mass[leaf.part.label] += leaf.mass_g
    return Limit("water brought", "dry parts bring little", water, mass, high=high_percent / 100)


def _room_g(leaves: Iterable[Leaf]) -> float:
    """Return the most water that parts can bring whose sheets do not give it [g]."""
    return sum(leaf.mass_g * (1 - least_solids(leaf.ingredient.composition) / 100) for leaf in leaves)


def _share(leaf: Leaf) -> float:
    return leaf.ingredient.composition.get("water_g", 0.0) / 100


def _is_wet(leaf: Leaf) -> bool:
    return is_liquid(leaf) or is_wet_food(leaf)


def _usual_milk(leaf: Leaf) -> float:
    if leaf.kind is not Kind.MILK or _is_wet(leaf):
        return 0.0
    return min(_share(leaf), load("keep")["milk_usual_water"].value / 100)
