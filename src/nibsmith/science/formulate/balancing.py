"""Balance a recipe: limits on what it is made of and comes to, with the least change or at the least cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from nibsmith.science.formulate.goal import KEEP, Goal, Objective
from nibsmith.science.formulate.rounding import Rounded, broken_limits, round_to_scale, with_margin
from nibsmith.science.formulate.sheet import Aim, sheet_of
from nibsmith.science.formulate.solution import Impossible, Solution
from nibsmith.science.mixture import Limit, Recipe

# shares of the largest move rounding can make by which limits are drawn in, tried in turn
_MARGINS = (0.0, 0.125, 0.25, 0.5, 1.0)


def balance(recipe: Recipe, limits: Sequence[Limit], goal: Goal = KEEP) -> Solution | Impossible:
    """Return the recipe nearest to this one, or the cheapest, that keeps all limits.

    Least change: ``min sum |m_i - m0_i|``, and among equally small changes the one that touches the fewest
    parts. Cheapest: ``min sum p_i m_i``. Both over ``m >= 0`` with the total kept, given or free.

    Parameters
    ----------
    recipe : Recipe
        The recipe to start from; a part of 0 g is an ingredient that may come in [g].
    limits : sequence of Limit
        Rows on its masses; strict ones must be passed by ``STRICT_STEP``.
    goal : Goal
        What is made smallest, what the total does, and what cannot be taken out.

    Returns
    -------
    Solution or Impossible
        Masses [g] that miss no limit by more than 1e-10; or the limits that stand in each other's way, and
        how far each would have to give.

    Raises
    ------
    InputError
        If a limit speaks of a part that is not in the recipe.
    UnknownFigure
        If the cheapest is asked for and a part has no price.

    Notes
    -----
    Solved by a small dual simplex of our own, whose result counts only when it passes the conditions of
    optimality worked out from the numbers given; otherwise, and for everything it finds impossible, by
    HiGHS on one thread.

    Examples
    --------
    >>> from nibsmith.science.formulate import share_limit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    >>> solution = balance(bar, [share_limit(bar, "sugar_granulated", high=0.25)])
    >>> {label: round(add_g) for label, add_g in solution.changes_g.items()}
    {'cocoa_mass': 50, 'sugar_granulated': -50}

    References
    ----------
    [highs]
    """
    aim = Aim(recipe, goal, sheet_of(recipe, limits, goal))
    from nibsmith.science.formulate.solver import find

    found = find(aim)
    return _explained(recipe, limits, goal) if found is None else _solution(recipe, aim, found)


def _explained(recipe: Recipe, limits: Sequence[Limit], goal: Goal) -> Impossible:
    from nibsmith.science.formulate.linear.conflict import explain

    return explain(recipe, limits, goal)


def _solution(recipe: Recipe, aim: Aim, values: list[float]) -> Solution:
    return Solution(recipe, aim.masses_g(values), aim.value(values))


class Balancer:
    """A balance that is kept and solved again after bounds move, as when a slider is drawn.

    ``min`` as in ``balance``; the rows, the basis and the solver stay from one solution to the next.

    Parameters
    ----------
    recipe : Recipe
        The recipe to start from [g].
    limits : sequence of Limit
        Rows on its masses; an end that is open now can be closed later.
    goal : Goal
        What is made smallest, what the total does, and what cannot be taken out.

    Raises
    ------
    InputError
        If a limit speaks of a part that is not in the recipe.
    UnknownFigure
        If the cheapest is asked for and a part has no price.

    Examples
    --------
    >>> from nibsmith.science.formulate import share_limit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0)))
    >>> kept = Balancer(bar, [share_limit(bar, "sugar_granulated", high=0.25)])
    >>> round(kept.solve().value)
    100
    >>> kept.move({0: (None, 0.28)})
    >>> round(kept.solve().value)
    40
    """

    def __init__(self, recipe: Recipe, limits: Sequence[Limit], goal: Goal = KEEP) -> None:
        self.recipe = recipe
        self.goal = goal
        from nibsmith.science.formulate.solver import Kept

        self._kept = Kept(recipe, limits, goal)

    @property
    def limits(self) -> tuple[Limit, ...]:
        """The limits as they stand."""
        return self._kept.limits()

    def move(self, bounds: Mapping[int, tuple[float | None, float | None]]) -> None:
        """Give limits, by their place in the list, other bounds ``(low, high)`` in their own unit."""
        self._kept.move(bounds)

    def solve(self) -> Solution | Impossible:
        """Return the balanced recipe at the bounds as they stand, or why there is none."""
        found = self._kept.solve()
        if found is None:
            return _explained(self.recipe, self.limits, self.goal)
        return _solution(self.recipe, self._kept.aim, found)


def balance_on_scale(
    recipe: Recipe, limits: Sequence[Limit], step_g: Decimal, goal: Goal = KEEP
) -> tuple[Rounded, tuple[Limit, ...]] | Impossible:
    """Return the balance in amounts a scale can show, every hard limit checked again on them.

    Where rounding breaks a limit, the limits are drawn in by a share of what rounding can move them, and it
    is solved again; the smallest margin that does is taken.

    Parameters
    ----------
    recipe : Recipe
        The recipe to start from [g].
    limits : sequence of Limit
        Rows on its masses.
    step_g : Decimal
        Resolution of the scale [g].
    goal : Goal
        What is made smallest, what the total does, and what cannot be taken out.

    Returns
    -------
    tuple or Impossible
        Amounts on the scale [g] with the limits they still miss (none, unless the scale is too coarse for
        them); or why there is no balance at all.

    Raises
    ------
    InputError
        If a limit speaks of a part that is not in the recipe, or the resolution is not above zero.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from nibsmith.science.formulate import share_limit
    >>> from nibsmith.science.mixture import Form, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> limits = [share_limit(bar, "sugar_granulated", high=0.255)]
    >>> rounded, missed = balance_on_scale(bar, limits, Decimal(1))
    >>> rounded.masses_g["sugar_granulated"], missed
    (Decimal('25'), ())
    """
    exact = balance(recipe, limits, goal)
    if isinstance(exact, Impossible):
        return exact
    first = best = round_to_scale(exact.masses_g, step_g)
    missed = broken_limits(limits, best)
    for margin in _MARGINS[1:]:
        if not missed:
            break
        tighter = balance(recipe, [with_margin(limit, first, margin) for limit in limits], goal)
        if isinstance(tighter, Impossible):
            break
        rounded = round_to_scale(tighter.masses_g, step_g)
        still = broken_limits(limits, rounded)
        if len(still) < len(missed):
            best, missed = rounded, still
    return best, missed


__all__ = ["Balancer", "Goal", "Objective", "balance", "balance_on_scale"]
