"""The largest grains of a recipe on a kit, with their range and the chance that they are fine enough."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from nibsmith.answers.context import Context
from nibsmith.answers.process import (
    GrainSizes,
    aim_of,
    coarse_sugar,
    grinding_fit,
    kit_of,
    process_of,
    sizes_of,
    whole_sugar,
)
from nibsmith.science.grind import GrindFit, largest_for
from nibsmith.science.mixture import Recipe, Span, in_machine
from nibsmith.science.numerics import Array, Distribution, Triangle, alone, drawn, quantile, variance_shares

_FOUR_IN_FIVE = (10 / 100, 90 / 100)


@dataclass(frozen=True)
class Grains:
    """Sizes of a recipe's grains against the largest that the aim allows [µm].

    ``fit`` is what readings or a known speed say of the grinding; ``hours`` is when the size is taken, where
    it comes from the fit [h]. ``whole_sugar`` says that sugar stays in it as granules, larger than anything
    that this kit leaves.
    """

    sizes: GrainSizes
    limit_um: float
    fit: GrindFit | None
    hours: float | None
    whole_sugar: bool = False

    @cached_property
    def draws(self) -> Array:
        """The largest grains, one value a draw [µm]."""
        if self.fit is not None and self.hours is not None:
            return self._ground(self.fit.starts, self.fit.speeds)
        return self._largest(drawn(self._varies))

    @property
    def middle(self) -> float:
        """The largest grains with everything at its middle [µm]."""
        return self.sizes.largest.value

    @property
    def span(self) -> Span:
        """The ends between which four draws in five lie [µm]."""
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
            starts, speeds = self.fit.starts, self.fit.speeds
            one = self._ground(starts, np.full_like(speeds, np.exp(np.log(speeds).mean())))
            two = self._ground(np.full_like(starts, np.exp(np.log(starts).mean())), speeds)
            return variance_shares(np.concatenate([one, two]), ("start", "speed"))
        return variance_shares(self._largest(alone(self._varies)), tuple(self._varies))

    @property
    def _varies(self) -> Mapping[str, Distribution]:
        cocoa, sugar = (
            Triangle(one.low, one.value, one.high) for one in (self.sizes.cocoa, self.sizes.sugar)
        )
        return {"both_um": cocoa} if self.sizes.same else {"cocoa_um": cocoa, "sugar_um": sugar}

    def _largest(self, values: Mapping[str, Array]) -> Array:
        return np.asarray(np.max(np.stack(list(values.values())), axis=0))

    def _ground(self, starts: Array, speeds: Array) -> Array:
        assert self.fit is not None  # noqa: S101  asked by the caller, for the reader of types
        assert self.hours is not None  # noqa: S101
        return np.maximum(1 / (1 / starts + speeds * self.hours), self.fit.floor_um)


def grains_of(recipe: Recipe, context: Context) -> Grains:
    """Return the largest grains of a recipe on its kit.

    Raises
    ------
    InputError
        If nothing goes into the machine, or the size did not fall between the readings.
    """
    in_machine(recipe)  # refuses a recipe of which nothing is ground
    process, sizes, fit = process_of(context), sizes_of(recipe, context), grinding_fit(recipe, context)
    hours = None
    if fit is not None and process.readings and not (process.cocoa_d90_um or process.sugar_d90_um):
        last = max(reading.hours for reading in process.readings)
        hours = last if process.hours is None else max(process.hours, last)
    sizes = _counted(sizes, recipe, context)
    whole = whole_sugar(recipe, context) and sizes.sugar.value > kit_of(context).size_um[1]
    return Grains(sizes, largest_for(aim_of(context)), fit, hours, whole)


def _counted(sizes: GrainSizes, recipe: Recipe, context: Context) -> GrainSizes:
    """Leave out granules that are left coarse on purpose."""
    on_purpose = coarse_sugar(recipe, context) and not whole_sugar(recipe, context)
    return replace(sizes, sugar=sizes.cocoa, same=True) if on_purpose and not sizes.measured else sizes
