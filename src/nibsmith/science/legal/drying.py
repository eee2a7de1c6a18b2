"""How far grinding dries a mass, where the water it ends at is known to a range only."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nibsmith.science.mixture import Ingredient, Leaf, Span, as_span, least_solids


@dataclass(frozen=True, slots=True)
class Drying:
    """Water of the finished mass at its driest, usual and wettest end [0 to 1]; ``None`` where none leaves.

    ``most`` is the water of the mass at its wettest end: no more than what it is charged with.
    """

    driest: float
    usual: float | None
    wettest: float | None
    most: float

    def factors(self) -> tuple[float, float | None, float | None]:
        """Return what a gram of dry matter weighs in the finished mass, at the three ends."""
        return 1 / (1 - self.driest), _factor(self.usual), _factor(self.wettest)

    def water_at(self, level: float) -> float:
        """Return the water of the mass part of the way from the driest to the wettest weight [0 to 1]."""
        first, last = 1 / (1 - self.driest), 1 / (1 - self.most)
        return 1 - 1 / (first + level * (last - first))


def _factor(water: float | None) -> float | None:
    return None if water is None else 1 / (1 - water)


def drying(leaves: Iterable[Leaf], end_water_percent: Span | float | None) -> Drying | None:
    """Return how far a charge dries to an end water [g/100 g], or ``None`` where nothing leaves.

    Water that is not given counts as none where that makes the mass heavy, and as the most it can be where
    that makes it light.
    """
    ground = [leaf for leaf in leaves if leaf.in_machine and leaf.mass_g > 0]
    if end_water_percent is None or not ground:
        return None
    total_g = sum(leaf.mass_g for leaf in ground)
    least = sum(leaf.mass_g * leaf.ingredient.composition.get("water_g", 0.0) for leaf in ground) / total_g
    most = sum(leaf.mass_g * _most_water(leaf.ingredient) for leaf in ground) / total_g
    ends = as_span(end_water_percent)
    if most <= ends.low:
        return None
    return Drying(
        driest=ends.low / 100,
        usual=ends.value / 100 if least > ends.value else None,
        wettest=ends.high / 100 if least > ends.high else None,
        most=max(ends.low, min(least, ends.high)) / 100,
    )


def _most_water(ingredient: Ingredient) -> float:
    of = ingredient.composition
    return of["water_g"] if "water_g" in of else 100 - least_solids(of)
