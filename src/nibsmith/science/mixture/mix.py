"""The mixture: sums over the parts of a recipe, as shares of a named basis."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.mixture.figure import Basis, Figure, Span, as_span
from nibsmith.science.mixture.parts import Leaf, Recipe
from nibsmith.science.mixture.properties import PROPERTIES, brought_by

NOTHING_LEAVES = Span.exactly(0.0)


@dataclass(frozen=True)
class Mixture:
    """What some leaves of a recipe come to.

    ``evaporated`` is the water that leaves in the machine [g]; every figure is a share of ``mass_g``.
    """

    leaves: tuple[Leaf, ...]
    basis: Basis
    evaporated: Span = NOTHING_LEAVES

    @property
    def evaporated_g(self) -> float:
        """The water that usually leaves in the machine [g]."""
        return self.evaporated.value

    @cached_property
    def mass_g(self) -> float:
        """The mass that figures are shares of [g]."""
        return sum(leaf.mass_g for leaf in self.leaves) - self.evaporated_g

    def amount(self, key: str) -> Span:
        """Return the amount of a property [g; mg for minerals, kcal or kJ for energy].

        Raises ``UnknownFigure`` where a part with weight does not give it.
        """
        span = self._amount(key)
        if span is None:
            raise UnknownFigure(PROPERTIES[key].words, self._missing(key))
        return span

    def knows(self, key: str) -> bool:
        """Whether every part with weight gives this property."""
        return self._amount(key) is not None

    def figure(self, key: str) -> Figure:
        """Return a property per 100 g of the basis, with its range."""
        span = self._per_100(key) if self.mass_g else Span.exactly(0.0)
        unit = PROPERTIES[key].unit
        unit = "%" if unit == "g" else f"{unit}/100 g"
        return Figure(key, span.value, span.low, span.high, unit, self.basis)

    def _per_100(self, key: str) -> Span:
        """Share an amount out: the least over the wettest mass; but of water the least is in the driest."""
        amount, leaves = self.amount(key), self.evaporated
        driest_g = self.mass_g + leaves.value - leaves.high
        wettest_g = self.mass_g + leaves.value - leaves.low
        least_of_g, most_of_g = (driest_g, wettest_g) if key == "water" else (wettest_g, driest_g)
        usual = 100 * amount.value / self.mass_g
        return Span(100 * amount.low / least_of_g, usual, 100 * amount.high / most_of_g)

    def percent(self, key: str) -> float:
        """Return the typical value of a property per 100 g of the basis [%]."""
        return self.figure(key).value

    def figures(self) -> Mapping[str, Figure]:
        """Return every property that is known."""
        return {key: self.figure(key) for key in PROPERTIES if self.knows(key)}

    def unknown(self) -> Mapping[str, tuple[str, ...]]:
        """Return every property that is not known, with the parts that lack it."""
        return {key: self._missing(key) for key in PROPERTIES if not self.knows(key)}

    def cocoa_butter_of_fat(self) -> float:
        """Return the share of cocoa butter in the fat phase without emulsifier [0 to 1]."""
        fat = self.amount("total_fat").value
        return self.amount("cocoa_butter").value / fat if fat else 0.0

    def _missing(self, key: str) -> tuple[str, ...]:
        return tuple(
            dict.fromkeys(
                leaf.ingredient.name
                for leaf in self.leaves
                if leaf.mass_g > 0 and brought_by(leaf.ingredient, leaf.kind)[key] is None
            )
        )

    def _amount(self, key: str) -> Span | None:
        """Sum one property when it is first asked for; an answer asks for few of them."""
        if key not in self._sums:
            if key not in PROPERTIES:
                raise InputError(
                    "No property has this key", value=key, advice=f"They are: {', '.join(PROPERTIES)}."
                )
            self._sums[key] = self._sum(key)
        return self._sums[key]

    def _sum(self, key: str) -> Span | None:
        total = _total((mass_g, row[key]) for mass_g, row in self._rows)
        if key == "water" and total is not None and self.evaporated.high:
            return total + Span(-self.evaporated.high, -self.evaporated.value, -self.evaporated.low)
        return total

    @cached_property
    def _sums(self) -> dict[str, Span | None]:
        return {}

    @cached_property
    def _rows(self) -> tuple[tuple[float, Mapping[str, Span | None]], ...]:
        weighed = (leaf for leaf in self.leaves if leaf.mass_g > 0)
        return tuple((leaf.mass_g, brought_by(leaf.ingredient, leaf.kind)) for leaf in weighed)


def _total(rows: Iterable[tuple[float, Span | None]]) -> Span | None:
    low = value = high = 0.0
    for mass_g, span in rows:
        if span is None:
            return None
        low, value, high = low + span.low * mass_g, value + span.value * mass_g, high + span.high * mass_g
    return Span(low, value, high)


def as_weighed(recipe: Recipe) -> Mixture:
    """Return the mixture of everything as weighed, inclusions and fillings too.

    Parameters
    ----------
    recipe : Recipe
        The recipe.

    Returns
    -------
    Mixture
        Figures are shares of the sum of all weights [%].

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> round(as_weighed(bar).percent("cocoa_as_weighed"), 1)
    70.0
    """
    return Mixture(tuple(recipe.leaves()), Basis.AS_WEIGHED)


def in_machine(recipe: Recipe) -> Mixture:
    """Return the mixture of what is ground together, before any water leaves it.

    Parameters
    ----------
    recipe : Recipe
        The recipe.

    Returns
    -------
    Mixture
        Figures are shares of the charge [%].

    Raises
    ------
    InputError
        If nothing goes into the machine.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, Stage, part
    >>> parts = (part("cocoa_mass", 70.0), part("almond", 30.0, stage=Stage.FOLDED_IN))
    >>> in_machine(Recipe("bar", Form.BAR, parts)).mass_g
    70.0
    """
    leaves = tuple(leaf for leaf in recipe.leaves() if leaf.in_machine)
    if not any(leaf.mass_g > 0 for leaf in leaves):
        raise InputError("Nothing goes into the machine", advice="Give at least one part an earlier stage.")
    return Mixture(leaves, Basis.MACHINE)


def finished(recipe: Recipe, end_water_percent: Span | float | None = None) -> Mixture:
    """Return the finished mass: the charge less the water that leaves while it is ground.

    ``m = (m0 - W0) / (1 - w/100)`` where the charge holds more water than the end water w; else none leaves.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    end_water_percent : Span or float, optional
        Water of the finished mass by kit [%], a number where it is known exactly; ``None`` leaves the water
        as charged.

    Returns
    -------
    Mixture
        Figures are shares of the finished mass [%].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_nibs_roasted", 700.0), part("sugar_granulated", 300.0)))
    >>> round(finished(bar, 1.0).percent("water"), 2)
    1.0
    """
    charge = in_machine(recipe)
    if end_water_percent is None:
        return Mixture(charge.leaves, Basis.FINISHED)
    ends = as_span(end_water_percent)
    least, usual, most = (_leaves(charge, end) for end in (ends.high, ends.value, ends.low))
    return Mixture(charge.leaves, Basis.FINISHED, Span(least, usual, most))


def _leaves(charge: Mixture, end_water_percent: float) -> float:
    """Return the water that leaves a charge [g]."""
    water_g = charge.amount("water").value
    end_g = (charge.mass_g - water_g) / (100 / end_water_percent - 1) if end_water_percent > 0 else 0.0
    return max(0.0, water_g - end_g)


def product(recipe: Recipe, end_water_percent: Span | float | None = None) -> Mixture:
    """Return the bar as sold: the finished mass with what is folded in, on its back or inside.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    end_water_percent : Span or float, optional
        Water of the finished mass by kit [%], a number where it is known exactly; ``None`` leaves the water
        as charged.

    Returns
    -------
    Mixture
        Figures are shares of the whole product [%].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part in the machine is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, Stage, part
    >>> parts = (part("cocoa_mass", 75.0), part("almond", 25.0, stage=Stage.FOLDED_IN))
    >>> product(Recipe("bar", Form.BAR, parts)).mass_g
    100.0
    """
    leaves = tuple(recipe.leaves())
    if not any(leaf.in_machine and leaf.mass_g > 0 for leaf in leaves):
        return Mixture(leaves, Basis.PRODUCT)
    return Mixture(leaves, Basis.PRODUCT, finished(recipe, end_water_percent).evaporated)
