"""Balance at twenty ingredients beside scipy's linprog, built afresh from the same arrays.

Two sets of problems: limits on drawn figures, where the optimum is one point and both do the same work; and
limits on figures of packaged ingredients, where it mostly is not, so that a balance goes on to the fewest
changed parts and linprog does not.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from timing import Row, seconds

KEYS = (
    "cocoa_nibs_roasted",
    "cocoa_mass",
    "cocoa_butter",
    "cocoa_powder_natural",
    "sugar_granulated",
    "sugar_turbinado",
    "coconut_sugar",
    "sugar_powdered",
    "milk_powder_whole",
    "milk_powder_skim",
    "buttermilk_powder",
    "whey_powder_sweet",
    "butteroil",
    "coconut_milk_powder",
    "hazelnut_paste",
    "inulin",
    "lecithin_soy",
    "salt",
    "coffee_instant",
    "cinnamon",
)
PROPERTIES = (
    "dry_cocoa_solids",
    "cocoa_butter",
    "fat_free_dry_cocoa_solids",
    "milk_fat",
    "milk_solids",
    "total_fat",
    "protein",
    "carbohydrate",
    "water",
    "ash",
)
TOTAL_G, NEAR, ROOM, DENSE = 2000.0, 0.75, 0.005, 0.7
PROBLEMS, ROUNDS, BLOCK = 40, 3, 10
SAME = 1e-9


@dataclass(frozen=True)
class Problem:
    """A recipe with its limits, and the same as arrays of shares."""

    recipe: Any
    limits: tuple[Any, ...]
    rows: Any
    low: Any
    high: Any
    start: Any
    price: Any
    most: Any

    def least_moves(self) -> Any:
        """What must be added, and what taken away, to be under the boxes."""
        import numpy as np

        return np.concatenate([np.zeros(len(self.start)), np.maximum(self.start - self.most, 0.0)])

    def most_moves(self) -> Any:
        """What can be added, and what taken away."""
        import numpy as np

        return np.concatenate([np.maximum(self.most - self.start, 0.0), self.start])

    def linprog(self, *, cheapest: bool) -> Any:
        """The peer: scipy's linprog from these arrays, nothing kept."""
        import numpy as np
        from scipy.optimize import linprog

        count = len(self.start)
        ends = (self.high, -self.low)
        if cheapest:
            return linprog(
                self.price,
                A_ub=np.vstack([self.rows, -self.rows]),
                b_ub=np.concatenate(ends),
                A_eq=np.ones((1, count)),
                b_eq=[1.0],
                bounds=np.column_stack([np.zeros(count), self.most]),
            )
        both = np.hstack([self.rows, -self.rows])
        here = self.rows @ self.start
        return linprog(
            np.ones(2 * count),
            A_ub=np.vstack([both, -both]),
            b_ub=np.concatenate([ends[0] - here, ends[1] + here]),
            A_eq=np.concatenate([np.ones(count), -np.ones(count)])[None],
            b_eq=[0.0],
            bounds=np.column_stack([self.least_moves(), self.most_moves()]),
        )


def of_ingredients(seed: int) -> Problem:
    """Limits on ten properties of packaged ingredients, half a point to either side of another recipe."""
    from nibsmith.science.mixture import property_limit

    recipe, other = two_recipes(seed)
    at = {part.label: part.mass_g for part in other.parts}
    limits = [property_limit(recipe, key) for key in PROPERTIES]
    return problem(
        recipe, [replace(each, low=each.value(at) - ROOM, high=each.value(at) + ROOM) for each in limits]
    )


def of_drawn_figures(seed: int) -> Problem:
    """The same on ten drawn figures, and a box on every share."""
    import numpy as np

    from nibsmith.science.formulate import share_limit
    from nibsmith.science.mixture import Limit

    recipe, other = two_recipes(seed)
    rng = np.random.default_rng(seed)
    figures = rng.uniform(0, 1, (len(PROPERTIES), len(KEYS))) * (
        rng.random((len(PROPERTIES), len(KEYS))) < DENSE
    )
    at = np.array([part.mass_g for part in other.parts]) / TOTAL_G
    whole = dict.fromkeys(KEYS, 1.0)
    limits = [
        Limit(
            f"figure {index}",
            "drawn",
            dict(zip(KEYS, row.tolist(), strict=True)),
            whole,
            value - ROOM,
            value + ROOM,
        )
        for index, (row, value) in enumerate(zip(figures, (figures @ at).tolist(), strict=True))
    ]
    boxes = [
        share_limit(recipe, key, high=min(1.0, 2 * share + 0.05)) for key, share in zip(KEYS, at, strict=True)
    ]
    return problem(recipe, limits, boxes)


def two_recipes(seed: int) -> tuple[Any, Any]:
    """A recipe with prices, and one a quarter of the way to another."""
    import numpy as np

    from nibsmith.science.mixture import Form, Recipe, part

    rng = np.random.default_rng(seed)
    masses, far = (rng.dirichlet(np.ones(len(KEYS))) * TOTAL_G for _ in range(2))
    prices = rng.uniform(1, 30, len(KEYS)).round(2)
    parts = (
        part(key, float(mass), price_per_kg=Decimal(str(price)))
        for key, mass, price in zip(KEYS, masses, prices, strict=True)
    )
    recipe = Recipe("drawn", Form.BAR, tuple(parts))
    return recipe, recipe.weighing(dict(zip(KEYS, (NEAR * masses + (1 - NEAR) * far).tolist(), strict=True)))


def problem(recipe: Any, limits: list[Any], boxes: list[Any] | None = None) -> Problem:
    import numpy as np

    rows = np.array([[limit.numerator[key] for key in KEYS] for limit in limits])
    low, high = (np.array([getattr(limit, end) for limit in limits]) for end in ("low", "high"))
    start = np.array([part.mass_g for part in recipe.parts]) / TOTAL_G
    most = np.array([box.high for box in boxes]) if boxes else np.ones(len(KEYS))
    price = np.array([float(part.price_per_kg) for part in recipe.parts])
    return Problem(recipe, (*limits, *(boxes or [])), rows, low, high, start, price, most)


def measure() -> list[Row]:
    drawn = [of_drawn_figures(seed) for seed in range(PROBLEMS)]
    packaged = [of_ingredients(seed) for seed in range(PROBLEMS)]
    return [
        *pair("drawn figures, least change", drawn, cheapest=False),
        *pair("drawn figures, cheapest", drawn, cheapest=True),
        *pair("packaged ingredients, least change and fewest parts", packaged, cheapest=False),
        *pair("packaged ingredients, cheapest", packaged, cheapest=True),
    ]


def pair(words: str, problems: list[Problem], *, cheapest: bool) -> list[Row]:
    """Time a fresh balance and one that is kept."""
    from nibsmith.science.formulate import Goal, Objective, balance

    goal = Goal(Objective.CHEAPEST) if cheapest else Goal()
    peer = [lambda p=p: p.linprog(cheapest=cheapest) for p in problems]  # type: ignore[misc]
    fresh = [lambda p=p: balance(p.recipe, p.limits, goal) for p in problems]  # type: ignore[misc]
    kept = [moving(p, goal) for p in problems]
    right = checked(problems, goal, cheapest=cheapest)
    more = "fewest parts" in words
    return [
        row(f"balance, {words}", "" if more else "4 times faster than linprog", peer, fresh, right),
        row("the same, kept, two bounds moved", "" if more else "12 times faster", peer, kept, right),
    ]


def moving(problem: Problem, goal: Any) -> Callable[[], object]:
    """Solve a kept balance again after two of its bounds have moved, back and forth."""
    from nibsmith.science.formulate import Balancer

    kept = Balancer(problem.recipe, problem.limits, goal)
    kept.solve()
    shift = ROOM / 4
    state = {"out": False}

    def again() -> object:
        state["out"] = not state["out"]
        step = shift if state["out"] else 0.0
        ends = {index: problem.limits[index] for index in (0, 5)}
        kept.move({index: (limit.low + step, limit.high + step) for index, limit in ends.items()})
        return kept.solve()

    return again


def checked(problems: list[Problem], goal: Any, *, cheapest: bool) -> str:
    """Compare every optimum with the peer's, and say the worst gap; a wrong one stops the timing."""
    from nibsmith.science.formulate import balance

    worst = gap = 0.0
    for problem in problems:
        ours: Any = balance(problem.recipe, problem.limits, goal)
        theirs = problem.linprog(cheapest=cheapest)
        value = ours.value / (TOTAL_G / 1000 if cheapest else TOTAL_G)
        worst = max(worst, abs(value - theirs.fun) / abs(theirs.fun))
        gap = max(gap, *(limit.gap(ours.masses_g) for limit in problem.limits))
    if worst > SAME:
        message = f"an optimum differs by {worst:.1e}"
        raise AssertionError(message)
    return f"objective within {worst:.0e}, limits missed by {gap:.0e} at most"


def row(
    what: str, bound: str, peers: list[Callable[[], object]], ours: list[Callable[[], object]], right: str
) -> Row:
    """Time both, problem by problem: in blocks, as a page that is edited, and taking turns call by call."""
    theirs_s, ours_s = medians(peers, ours, BLOCK)
    turns_theirs_s, turns_ours_s = medians(peers, ours, 1)
    words = (
        f"linprog fresh {theirs_s * 1000:.2f} ms, {theirs_s / ours_s:.1f} times this "
        f"({turns_theirs_s / turns_ours_s:.1f} times where the two take turns call by call); {right}"
    )
    return Row(what, ours_s, bound, PROBLEMS * ROUNDS * BLOCK, words)


def medians(
    peers: list[Callable[[], object]], ours: list[Callable[[], object]], block: int
) -> tuple[float, float]:
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(ROUNDS):
        for pair in zip(peers, ours, strict=True):
            for work, found in zip(pair, times, strict=True):
                found += [seconds(work) for _ in range(block)]
    return statistics.median(times[0]), statistics.median(times[1])
