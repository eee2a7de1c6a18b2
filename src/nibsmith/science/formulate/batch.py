"""From a recipe to what is weighed, and from what is weighed to bars: losses, evaporation, scaling."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from nibsmith.science.errors import InputError
from nibsmith.science.formulate.scaling import positive
from nibsmith.science.mixture import Recipe, finished, in_machine

# a count of bars this close to a whole number is that number; far under one milligram of mass
_COUNTING = 1e-9


@dataclass(frozen=True, slots=True)
class MachineLoss:
    """What a machine keeps back, of the ground part only.

    ``fixed_g`` stays on it whatever the charge [g]; ``percent`` is lost of the finished mass besides [%];
    ``end_water_percent`` is the water of the finished mass, the rest evaporates [%], ``None`` where none
    leaves.
    """

    fixed_g: float = 0.0
    percent: float = 0.0
    end_water_percent: float | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.fixed_g < math.inf:
            raise InputError(
                "What stays on the machine is not a weight",
                value=self.fixed_g,
                limit="0 g or more",
                field="fixed_g",
            )
        if not 0 <= self.percent < 100:
            raise InputError(
                "The loss cannot be true", value=self.percent, limit="0 to under 100 %", field="percent"
            )


NO_LOSS = MachineLoss()


@dataclass(frozen=True)
class Batch:
    """A batch from the scale to the mould.

    ``weigh`` is what goes on the scale. ``charge_g`` of it goes into the machine, ``evaporated_g`` leaves
    as water, ``lost_g`` stays behind, ``poured_g`` comes out; ``added_g`` is folded in, on the back or
    inside; all in g. ``cavity_g`` is the mass of one bar [g], zero where no mould is given.
    """

    weigh: Recipe
    charge_g: float
    evaporated_g: float
    lost_g: float
    poured_g: float
    added_g: float
    cavity_g: float = 0.0

    @property
    def product_g(self) -> float:
        """What goes into moulds [g]."""
        return self.poured_g + self.added_g

    @property
    def bars(self) -> float:
        """Cavities it fills, as a fraction; zero where no mould is given."""
        return self.product_g / self.cavity_g if self.cavity_g else 0.0

    @property
    def whole_bars(self) -> int:
        """Cavities it fills to the brim."""
        return math.floor(self.bars * (1 + _COUNTING) + _COUNTING)

    @property
    def left_g(self) -> float:
        """What is left over after the last full cavity [g]."""
        return max(0.0, self.product_g - self.whole_bars * self.cavity_g)


@dataclass(frozen=True)
class _Flow:
    """The recipe per gram weighed: what is charged, what evaporates of the charge, what is added later."""

    recipe: Recipe
    loss: MachineLoss

    @cached_property
    def charged(self) -> float:
        inside = sum(part.mass_g for part in self.recipe.parts if part.in_machine)
        return inside / self.recipe.total_g

    @cached_property
    def evaporating(self) -> float:
        """Share of the charge that leaves as water."""
        return leaving_share(self.recipe, self.loss.end_water_percent)

    @property
    def added(self) -> float:
        return 1 - self.charged

    @property
    def ground_in_bar(self) -> float:
        """Share of ground mass in a bar: finished mass over finished mass and what is added."""
        ground = self.charged * (1 - self.evaporating)
        return ground / (ground + self.added)

    @property
    def fixed_g(self) -> float:
        return self.loss.fixed_g if self.charged else 0.0

    def finished_for(self, poured_g: float) -> float:
        return (poured_g + self.fixed_g) / (1 - self.loss.percent / 100)

    def charge_for(self, poured_g: float) -> float:
        return self.finished_for(poured_g) / (1 - self.evaporating)


def leaving_share(recipe: Recipe, end_water_percent: float | None) -> float:
    """Return the share of the ground part that leaves as water while it is ground.

    ``e = (m0 - m) / m0``, with m0 the charge and m the finished mass.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    end_water_percent : float, optional
        Water of the finished mass [%]; ``None`` where none leaves.

    Returns
    -------
    float
        Zero where nothing is ground or none leaves [0 to 1].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_nibs_roasted", 70.0), part("sugar_granulated", 30.0)))
    >>> 0 < leaving_share(bar, 1.0) < leaving_share(bar, 0.7)
    True
    """
    grinds = any(part.in_machine and part.mass_g > 0 for part in recipe.parts)
    if not grinds or end_water_percent is None:
        return 0.0
    return finished(recipe, end_water_percent).evaporated_g / in_machine(recipe).mass_g


def batch_of(recipe: Recipe, cavity_g: float = 0.0, loss: MachineLoss = NO_LOSS) -> Batch:
    """Return what comes out of everything a recipe weighs.

    ``P = C (1 - e) (1 - p/100) - R``, never under zero, with charge C, share evaporating e, loss p and R.

    Parameters
    ----------
    recipe : Recipe
        What is weighed [g].
    cavity_g : float
        Mass of one bar [g]; zero where there is no mould.
    loss : MachineLoss
        What the machine keeps back.

    Returns
    -------
    Batch
        From the scale to the mould, all masses in [g].

    Raises
    ------
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    >>> batch_of(bar, 50.0, MachineLoss(fixed_g=150.0)).whole_bars
    17
    """
    return _batch(_Flow(recipe, loss), recipe, _cavity(cavity_g))


def batch_for_bars(recipe: Recipe, bars: float, cavity_g: float, loss: MachineLoss = NO_LOSS) -> Batch:
    """Return the batch that fills a number of bars.

    With f the share of ground mass in a bar: ``C = (N c f + R) / ((1 - p/100) (1 - e))``, and what is
    folded in, on the back or inside is ``N c (1 - f)``: it follows the bars, not the loss.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    bars : float
        Bars wanted [1].
    cavity_g : float
        Mass of one bar with everything in it [g].
    loss : MachineLoss
        What the machine keeps back.

    Returns
    -------
    Batch
        Its ``weigh`` is the recipe to put on the scale [g].

    Raises
    ------
    InputError
        If there is nothing to fill.
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> round(batch_for_bars(bar, 20, 50.0, MachineLoss(fixed_g=150.0)).weigh.total_g)
    1150
    """
    flow = _Flow(recipe, loss)
    product_g = positive(bars, "bars") * positive(cavity_g, "cavity_g")
    return _batch(flow, _weighed(flow, product_g), cavity_g)


def batch_for_total(
    recipe: Recipe, total_g: float, cavity_g: float = 0.0, loss: MachineLoss = NO_LOSS
) -> Batch:
    """Return the batch that weighs a total, with what is folded in cut to the mass that comes out.

    The inverse of ``batch_for_bars``: M is linear in the product, ``M = P f / ((1 - p/100)(1 - e)) + P (1 -
    f) + R / ((1 - p/100)(1 - e))``.

    Parameters
    ----------
    recipe : Recipe
        The recipe; only its shares matter.
    total_g : float
        Everything weighed [g].
    cavity_g : float
        Mass of one bar with everything in it [g]; zero where there is no mould.
    loss : MachineLoss
        What the machine keeps back.

    Returns
    -------
    Batch
        Its ``weigh`` comes to the total [g].

    Raises
    ------
    InputError
        If so small a total all stays on the machine.
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> round(batch_for_total(bar, 1150.0, 50.0, MachineLoss(fixed_g=150.0)).bars, 6)
    20.0
    """
    flow = _Flow(recipe, loss)
    on_machine_g = flow.charge_for(0.0)
    per_gram = flow.charge_for(flow.ground_in_bar) - on_machine_g + 1 - flow.ground_in_bar
    product_g = (positive(total_g, "total_g") - on_machine_g) / per_gram
    if product_g <= 0:
        raise InputError(
            "So small a batch all stays on the machine",
            value=f"{total_g:g} g",
            limit=f"more than {on_machine_g:.0f} g",
            advice="Make more, or take a smaller machine.",
            field="total_g",
        )
    return _batch(flow, _weighed(flow, product_g), _cavity(cavity_g))


def fold_in_for(recipe: Recipe, mass_g: float, end_water_percent: float | None = None) -> Mapping[str, float]:
    """Return what to fold in, put on the back or fill for the mass that is actually there.

    ``a_i = m · s_i / (finished share)``.

    Parameters
    ----------
    recipe : Recipe
        The recipe.
    mass_g : float
        Finished mass at hand [g].
    end_water_percent : float, optional
        Water of the finished mass [%]; ``None`` where none leaves.

    Returns
    -------
    Mapping[str, float]
        Part label to amount, for the parts that do not go into the machine [g].

    Raises
    ------
    InputError
        If the mass is not a weight above zero, or nothing in the recipe is ground.
    UnknownFigure
        If an end water is given and the water of a part is not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 80.0), part("almond", 20.0)))
    >>> fold_in_for(bar, 1000.0)
    {'almond': 250.0}
    """
    flow = _Flow(recipe, MachineLoss(end_water_percent=end_water_percent))
    if not flow.charged:
        raise InputError(
            "Nothing in this recipe is ground", advice="Give at least one part an earlier stage."
        )
    factor = positive(mass_g, "mass_g") / (flow.charged * (1 - flow.evaporating) * recipe.total_g)
    return {part.label: part.mass_g * factor for part in recipe.parts if not part.in_machine}


def _weighed(flow: _Flow, product_g: float) -> Recipe:
    charge_g = flow.charge_for(product_g * flow.ground_in_bar) if flow.charged else 0.0
    added_g = product_g * (1 - flow.ground_in_bar)
    total_g = flow.recipe.total_g
    inside = charge_g / (flow.charged * total_g) if flow.charged else 0.0
    outside = added_g / (flow.added * total_g) if flow.added else 0.0
    return flow.recipe.weighing(
        {part.label: part.mass_g * (inside if part.in_machine else outside) for part in flow.recipe.parts}
    )


def _batch(flow: _Flow, weigh: Recipe, cavity_g: float) -> Batch:
    charge_g = sum(part.mass_g for part in weigh.parts if part.in_machine)
    evaporated_g = charge_g * flow.evaporating
    finished_g = charge_g - evaporated_g
    poured_g = max(0.0, finished_g * (1 - flow.loss.percent / 100) - flow.fixed_g)
    added_g = weigh.total_g - charge_g
    return Batch(weigh, charge_g, evaporated_g, finished_g - poured_g, poured_g, added_g, cavity_g)


def _cavity(cavity_g: float) -> float:
    return positive(cavity_g, "cavity_g") if cavity_g else 0.0
