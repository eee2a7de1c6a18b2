"""Balance at twenty ingredients beside scipy's linprog, built afresh from the same arrays."""

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
TOTAL_G, NEAR, ROOM = 2000.0, 0.75, 0.005  # limits half a point wide around a recipe a quarter away
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
                bounds=np.column_stack([np.zeros(count), np.ones(count)]),
            )
        both = np.hstack([self.rows, -self.rows])
        here = self.rows @ self.start
        return linprog(
            np.ones(2 * count),
            A_ub=np.vstack([both, -both]),
            b_ub=np.concatenate([ends[0] - here, ends[1] + here]),
            A_eq=np.concatenate([np.ones(count), -np.ones(count)])[None],
            b_eq=[0.0],
            bounds=np.column_stack([np.zeros(2 * count), np.concatenate([1 - self.start, self.start])]),
        )


def drawn(seed: int) -> Problem:
    import numpy as np

    from nibsmith.science.mixture import Form, Recipe, part, property_limit

    rng = np.random.default_rng(seed)
    masses = rng.dirichlet(np.ones(len(KEYS))) * TOTAL_G
    other = NEAR * masses + (1 - NEAR) * rng.dirichlet(np.ones(len(KEYS))) * TOTAL_G
    prices = rng.uniform(1, 30, len(KEYS)).round(2)
    parts = (
        part(key, float(mass), price_per_kg=Decimal(str(price)))
        for key, mass, price in zip(KEYS, masses, prices, strict=True)
    )
    recipe = Recipe("drawn", Form.BAR, tuple(parts))
    at = dict(zip(KEYS, other.tolist(), strict=True))
    open_limits = [property_limit(recipe, key) for key in PROPERTIES]
    limits = tuple(
        replace(limit, low=limit.value(at) - ROOM, high=limit.value(at) + ROOM) for limit in open_limits
    )
    rows = np.array([[limit.numerator[key] for key in KEYS] for limit in limits])
    low, high = (np.array([getattr(limit, end) for limit in limits]) for end in ("low", "high"))
    return Problem(recipe, limits, rows, low, high, masses / masses.sum(), prices)


def measure() -> list[Row]:
    from nibsmith.science.formulate import Goal, Objective, balance

    problems = [drawn(seed) for seed in range(PROBLEMS)]
    rows = []
    for cheapest, words in ((False, "least change"), (True, "cheapest")):
        goal = Goal(Objective.CHEAPEST) if cheapest else Goal()
        peer = [lambda p=p, c=cheapest: p.linprog(cheapest=c) for p in problems]  # type: ignore[misc]
        fresh = [lambda p=p, g=goal: balance(p.recipe, p.limits, g) for p in problems]  # type: ignore[misc]
        kept = [moving(p, goal) for p in problems]
        right = checked(problems, goal, cheapest=cheapest)
        rows.append(row(f"balance, {words}, fresh", "4 times faster than linprog", peer, fresh, right))
        rows.append(row(f"balance, {words}, kept, two bounds moved", "12 times faster", peer, kept, right))
    return rows


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
