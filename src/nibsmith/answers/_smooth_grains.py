"""The largest grains of a recipe on a kit, with their range and the chance that they are fine enough."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from nibsmith.answers.context import Context
from nibsmith.answers.process import aim_of, coarse_sugar, kit_of, whole_sugar
from nibsmith.answers.process_sizes import GrainSizes, grinding_fit, sizes_of
from nibsmith.science.grind import GrindFit, largest_for
from nibsmith.science.mixture import Recipe, Span, in_machine
from nibsmith.science.numerics import Array, Distribution, Triangle, alone, drawn, quantile, variance_shares

_FOUR_IN_FIVE = (10 / 100, 90 / 100)


@dataclass(frozen=True)
class Grains:
    """Sizes of a recipe's grains against the largest that the aim allows [µm].

    ``fit`` is what readings or a known speed say of the grinding. ``whole_sugar`` says that sugar stays in it
    as granules, larger than anything that this kit leaves.
    """

    sizes: GrainSizes
    limit_um: float
    fit: GrindFit | None
    whole_sugar: bool = False

    @property
    def hours(self) -> float | None:
        """When the size is taken, where it comes from the fit [h]."""
        return self.sizes.hours

    @cached_property
    def draws(self) -> Array:
        """The largest grains, one value a draw [µm]."""
        if self.fit is not None and self.hours is not None:
            return self.fit.sizes_at(self.hours)
        return self._largest(drawn(self._varies))

    @property
    def middle(self) -> float:
        """The largest grains with everything at its middle [µm]."""
        return self.sizes.largest.value

    @property
    def span(self) -> Span:
        """The ends between which four draws in five lie [µm]."""
        if self.hours is not None:
            return self.sizes.largest
        low, high = (quantile(self.draws, share) for share in _FOUR_IN_FIVE)
        return Span(min(low, self.middle), self.middle, max(high, self.middle))

    @property
    def chance(self) -> float:
        """Share of the draws that are fine enough [0 to 1]."""
        return float(np.mean(self.draws <= self.limit_um))

    @cached_property
    def shares(self) -> dict[str, float]:
        """What each input alone adds to the variance of the size [0 to 1]."""
        if self.fit is not None and self.hours is not None:
            names = ("starts", "speeds", "floors")
            each = [self.fit.only(name).sizes_at(self.hours) for name in names]
            return variance_shares(np.concatenate(each), names)
        return variance_shares(self._largest(alone(self._varies)), tuple(self._varies))

    @property
    def _varies(self) -> Mapping[str, Distribution]:
        cocoa, sugar = (
            Triangle(one.low, one.value, one.high) for one in (self.sizes.cocoa, self.sizes.sugar)
        )
        return {"both_um": cocoa} if self.sizes.same else {"cocoa_um": cocoa, "sugar_um": sugar}

    def _largest(self, values: Mapping[str, Array]) -> Array:
        return np.asarray(np.max(np.stack(list(values.values())), axis=0))


def grains_of(recipe: Recipe, context: Context) -> Grains:
    """Return the largest grains of a recipe on its kit.

    Raises
    ------
    InputError
        If nothing goes into the machine, or the size did not fall between the readings.
    """
    in_machine(recipe)  # refuses a recipe of which nothing is ground
    sizes = _counted(sizes_of(recipe, context), recipe, context)
    fit = sizes.fit or grinding_fit(recipe, context)
    whole = whole_sugar(recipe, context) and sizes.sugar.value > kit_of(context).size_um[1]
    return Grains(sizes, largest_for(aim_of(context)), fit, whole)


def _counted(sizes: GrainSizes, recipe: Recipe, context: Context) -> GrainSizes:
    """Leave out granules that are left coarse on purpose."""
    on_purpose = coarse_sugar(recipe, context) and not whole_sugar(recipe, context)
    return replace(sizes, sugar=sizes.cocoa, same=True) if on_purpose and not sizes.measured else sizes
