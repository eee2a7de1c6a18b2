"""Balance problems to draw, and the same problems solved by scipy, built from the limits by themselves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from nibsmith.science.formulate import share_limit
from nibsmith.science.mixture import Form, Limit, Recipe, part, property_limit

KEYS = (
    "cocoa_nibs_roasted",  # and not mass beside it: the nibs of the table are that mass, dried less
    "cocoa_butter",
    "cocoa_powder_natural",
    "sugar_granulated",
    "coconut_sugar",
    "milk_powder_whole",
    "milk_powder_skim",
    "whey_powder_sweet",
    "butteroil",
    "hazelnut_paste",
    "inulin",
    "lecithin_soy",
    "salt",
    "almond",
)
PROPERTIES = (
    "dry_cocoa_solids",
    "cocoa_butter",
    "fat_free_dry_cocoa_solids",
    "cocoa_as_weighed",
    "milk_fat",
    "milk_solids",
    "total_fat",
    "protein",
    "carbohydrate",
    "water",
)
# how far a limit may be set past what the hidden recipe has, so that some problems have no answer
INSIDE_OUT = 0.02
TIGHT = {"presolve": False, "primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
BATCH = 0.001  # the least share of the recipe's weight that a batch of free size keeps
BASIS = 1e-4  # the least share of it that there is of the basis of a limit


@dataclass(frozen=True)
class Problem:
    """A recipe, limits on it, and a recipe that was used to set them; ``honest`` limits that one keeps."""

    recipe: Recipe
    limits: tuple[Limit, ...]
    hidden: Recipe
    honest: bool


def recipe_of(masses: Mapping[str, float], prices: Sequence[float] = ()) -> Recipe:
    costs = [Decimal(str(price)) for price in prices] or [None] * len(masses)
    parts = (
        part(key, mass, price_per_kg=cost) for (key, mass), cost in zip(masses.items(), costs, strict=True)
    )
    return Recipe("drawn", Form.BAR, tuple(parts))


weights = st.floats(min_value=5.0, max_value=1000.0).map(lambda mass: round(mass, 1))
prices = st.floats(min_value=0.5, max_value=40.0).map(lambda price: round(price, 2))


@st.composite
def recipes(draw: st.DrawFn, least: int = 2, most: int = 8, *, ground: bool = False) -> Recipe:
    keys = KEYS[:-1] if ground else KEYS
    chosen = draw(st.lists(st.sampled_from(keys), min_size=least, max_size=most, unique=True))
    if not any(key != "almond" for key in chosen):
        chosen.append("cocoa_nibs_roasted")
    masses = {key: draw(weights) for key in chosen}
    return recipe_of(masses, [draw(prices) for _ in chosen])


@st.composite
def problems(draw: st.DrawFn, *, honest: bool = False, most: int = 8) -> Problem:
    """Limits around a hidden recipe of the same parts; where not honest some are set past it."""
    recipe = draw(recipes(least=2, most=most))
    hidden = recipe.weighing({each.label: draw(weights) for each in recipe.parts}).scaled(recipe.total_g)
    masses = {each.label: each.mass_g for each in hidden.parts}
    keeps, limits = True, []
    for key in draw(st.lists(st.sampled_from(PROPERTIES), min_size=1, max_size=5, unique=True)):
        limit = property_limit(recipe, key, low=0.0)
        past = 0.0 if honest else draw(st.sampled_from([0.0, 0.0, INSIDE_OUT, -INSIDE_OUT]))
        room = draw(st.sampled_from([0.0, 0.002, 0.02]))
        value = limit.value(masses) + past
        low = None if draw(st.booleans()) else value - room
        keeps = keeps and not past
        limits.append(replace(limit, low=low, high=value + room))
    if any(each.label == "almond" for each in recipe.parts):
        # a machine run nearly empty makes shares of its mass a question of the last digits
        limits.append(share_limit(recipe, "almond", high=max(0.9, hidden.share("almond"))))
    labels = st.sampled_from([each.label for each in recipe.parts])
    capped = draw(st.lists(labels, max_size=2, unique=True))
    limits += [share_limit(recipe, label, high=min(1.0, hidden.share(label) * 1.1)) for label in capped]
    return Problem(recipe, tuple(limits), hidden, keeps)


class Arrays:
    """Rows of ``sum(c·m) >= b`` taken from ``Limit.rows`` alone, with the total kept or free, for scipy."""

    def __init__(self, recipe: Recipe, limits: Sequence[Limit], *, total_g: float | None) -> None:
        self.labels = [each.label for each in recipe.parts]
        self.start = np.array([each.mass_g for each in recipe.parts])
        pairs = [pair for limit in limits for pair in limit.rows()]
        # a share of nothing is no share: where one is asked for, there must be some of its basis
        shares = [limit for limit in limits if limit.denominator]
        asked = [limit.denominator for limit in shares if (limit.low or 0) > 0 or (limit.high or 0) < 0]
        pairs += [(basis, BASIS * self.start.sum()) for basis in asked]
        self.rows = np.array([[row.get(label, 0.0) for label in self.labels] for row, _ in pairs]).reshape(
            len(pairs), len(self.labels)
        )
        self.bounds = np.array([bound for _, bound in pairs], dtype=float)
        self.total_g = total_g

    def _equal(self, ones: np.ndarray, base: float) -> dict[str, object]:
        return {} if self.total_g is None else {"A_eq": ones[None], "b_eq": [self.total_g - base]}

    def least_change(self, floor: np.ndarray | None = None) -> object:
        """Minimise grams put in and taken out; ``floor`` is what cannot be taken out."""
        count = len(self.labels)
        low = np.zeros(count) if floor is None else floor
        both = np.hstack([self.rows, -self.rows])
        return linprog(
            np.ones(2 * count),
            A_ub=-both,
            b_ub=self.rows @ self.start - self.bounds,
            bounds=[(0, None)] * count + list(zip(np.zeros(count), self.start - low, strict=True)),
            options=TIGHT,
            **self._equal(np.r_[np.ones(count), -np.ones(count)], self.start.sum()),
        )

    def cheapest(self, prices: Sequence[float]) -> object:
        return linprog(
            np.array(prices) / 1000,
            A_ub=-self.rows,
            b_ub=-self.bounds,
            bounds=[(0, None)] * len(self.labels),
            options=TIGHT,
            **self._equal(np.ones(len(self.labels)), 0.0),
        )

    def fewest(self, least_g: float) -> int:
        """The fewest parts that a change of the least size can touch, as a program with binaries."""
        count = len(self.labels)
        zero, unit = np.zeros((len(self.rows), count)), np.eye(count)
        rows = [
            LinearConstraint(np.hstack([self.rows, -self.rows, zero]), self.bounds - self.rows @ self.start)
        ]
        if self.total_g is not None:
            row = np.r_[np.ones(count), -np.ones(count), np.zeros(count)][None]
            rows.append(LinearConstraint(row, *[self.total_g - self.start.sum()] * 2))
        cap = least_g * (1 + 1e-7) + 1e-9
        rows.append(LinearConstraint(np.r_[np.ones(2 * count), np.zeros(count)][None], 0, cap))
        rows.append(LinearConstraint(np.hstack([unit, unit, -cap * unit]), -np.inf, 0))
        found = milp(
            np.r_[np.zeros(2 * count), np.ones(count)],
            constraints=rows,
            integrality=np.r_[np.zeros(2 * count), np.ones(count)],
            bounds=Bounds(0, np.r_[np.full(count, np.inf), self.start, np.ones(count)]),
        )
        return round(found.fun)


def holds(
    limits: Sequence[Limit], recipe: Recipe, *, total_g: float | None, floor: np.ndarray | None = None
) -> bool:
    """Whether scipy finds masses that keep all limits."""
    arrays = Arrays(recipe, limits, total_g=total_g)
    low = np.zeros(len(arrays.labels)) if floor is None else floor
    least = BATCH * arrays.start.sum()  # a batch of free size is a batch
    for method in ("highs", "highs-ipm"):  # the first now and then comes to no result at the edge
        found = linprog(
            np.zeros(len(arrays.labels)),
            A_ub=np.vstack([-arrays.rows, -np.ones(len(arrays.labels))]),
            b_ub=np.append(-arrays.bounds, -least),
            bounds=[(value, None) for value in low],
            method=method,
            **arrays._equal(np.ones(len(arrays.labels)), 0.0),
        )
        if found.status in {0, 2}:
            return found.status == 0
    raise AssertionError(found.message)
