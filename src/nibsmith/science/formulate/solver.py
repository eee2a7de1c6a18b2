"""Solving a balance: a simplex of our own where it proves its result, HiGHS for all else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from nibsmith.science.errors import InputError
from nibsmith.science.formulate.goal import Goal
from nibsmith.science.formulate.sheet import Aim, Box, Ratio, sheet_of
from nibsmith.science.formulate.simplex import Simplex
from nibsmith.science.formulate.sparsest import fewest_changed
from nibsmith.science.mixture import Limit, Recipe

EXACT = 1e-14  # a result this good needs no putting right
PROVEN = 1e-11  # a result proves itself when it misses no row by more; a tenth of what is promised
TIED = 1e-9  # a slope under this says that another solution is as good; slopes are of order one

Bounds = tuple[float | None, float | None]
Values = list[float]


def find(aim: Aim) -> Values | None:
    """Return the shares of the optimum, or ``None`` where no recipe keeps all limits.

    The cheapest is a plain linear program for HiGHS. The least change is for the simplex of our own, which
    takes a distance as it is; its solution counts only with its proof, and that there is none only on the
    word of HiGHS.
    """
    if aim.crossed():
        return None
    return _optimum(aim, Simplex(aim.sheet.rows, aim.curves())) if aim.least_change else _by_highs(aim)


def _optimum(aim: Aim, simplex: Simplex) -> Values | None:
    if simplex.solve():
        values = simplex.values()
        if simplex.proves(values, EXACT):
            return _fewest(aim, simplex, values)
        values = simplex.refined(values)
        if simplex.proves(values, PROVEN):
            return _fewest(aim, simplex, values)
    return _by_highs(aim)


def _fewest(aim: Aim, simplex: Simplex, values: Values) -> Values:
    """Among equally small changes the one that touches the fewest parts, where it proves as good."""
    if not aim.least_change or simplex.alone(TIED):
        return values
    fewer = fewest_changed(simplex, aim.start, TIED)
    if fewer is None:
        return values
    as_small = aim.value(fewer) <= aim.value(values) * (1 + TIED)
    return fewer if as_small and simplex.missed_by(fewer) <= PROVEN else values


def _by_highs(aim: Aim) -> Values | None:
    from nibsmith.science.formulate.linear.engine import solve
    from nibsmith.science.formulate.linear.model import program_of, values_of

    z = solve(program_of(aim))
    return None if z is None else values_of(aim, z)


class Kept:
    """A balance that stays in its simplex while bounds move."""

    def __init__(self, recipe: Recipe, limits: Sequence[Limit], goal: Goal) -> None:
        self._limits = tuple(limits)
        self._bounds: list[Bounds] = [(limit.low, limit.high) for limit in limits]
        self.aim = Aim(recipe, goal, sheet_of(recipe, limits, goal, roomy=True))
        self._simplex: Simplex | None = None
        self._moved: set[int] = set()

    def limits(self) -> tuple[Limit, ...]:
        """Return the limits as they stand."""
        pairs = zip(self._limits, self._bounds, strict=True)
        return tuple(replace(limit, low=low, high=high) for limit, (low, high) in pairs)

    def move(self, bounds: Mapping[int, Bounds]) -> None:
        """Give limits, by their place in the list, other bounds."""
        for index, (low, high) in bounds.items():
            place = self.aim.sheet.rewrite(index, *self._noted(index, low, high))
            if isinstance(place, Ratio):  # the bound is inside the coefficients
                self._simplex = None
            elif isinstance(place, Box):
                self._moved.add(place.column)
            else:
                self._moved.add(len(self.aim.start) + place.row)

    def _noted(self, index: int, low: float | None, high: float | None) -> Bounds:
        if not 0 <= index < len(self._limits):
            raise InputError(
                "There is no limit at this place", value=index, limit=f"0 to {len(self._limits) - 1}"
            )
        limit = self._limits[index]
        if low is not None and high is not None and low > high:
            raise InputError(
                f"The bounds on {limit.name} cross", value=f"{low:g} to {high:g}", field=limit.name
            )
        self._bounds[index] = low, high
        return replace(limit, low=low, high=high).bounds if limit.strict else (low, high)

    def solve(self) -> Values | None:
        """Return the shares of the optimum at the bounds as they stand, or ``None`` where there is none."""
        kept, self._simplex = self._simplex, None
        if self.aim.crossed():
            return None
        simplex = self._resumed(kept) or Simplex(self.aim.sheet.rows, self.aim.curves())
        self._moved = set()
        found = _optimum(self.aim, simplex)
        if found is not None:
            self._simplex = simplex
        return found

    def _resumed(self, simplex: Simplex | None) -> Simplex | None:
        """The kept simplex with the moved curves, or ``None`` where it cannot go on from where it stands."""
        columns = len(self.aim.start)
        if simplex is None:
            return None
        for variable in self._moved:
            row = variable - columns
            curve = self.aim.curve(variable) if row < 0 else self.aim.row_curve(row)
            if not simplex.move(variable, curve):
                return None
        return simplex
