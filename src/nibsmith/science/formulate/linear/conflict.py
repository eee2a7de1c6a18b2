"""Why limits cannot all hold: a set none of which can be spared, and how far each must give."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.science.errors import NibsmithError
from nibsmith.science.formulate.goal import Goal, total_limit
from nibsmith.science.formulate.linear.engine import solve
from nibsmith.science.formulate.linear.model import Program, Vector
from nibsmith.science.formulate.sheet import INFINITY, LEAST_BASIS, LEAST_BATCH
from nibsmith.science.formulate.solution import Clash, Conflict, End, Impossible
from nibsmith.science.mixture import STRICT_STEP, Limit, Recipe, Row

_LEAST_T = 1e-9  # least 1/size of a batch when sizes are free: a billion times the recipe is no batch
_LARGEST_T = 1e-3  # 1/size of a batch that can be made; what only a larger one reaches is out of reach
_NEARER = 1e-9  # a bound that an endless batch comes nearer to by less than this is not out of reach
_MOST_CONFLICTS = 5  # more than this many quarrels at once are not read


@dataclass(frozen=True)
class Side:
    """One end of a limit as rows: ``row · x >= bound`` and ``basis · x >= some``, x in shares of the recipe.

    A share of nothing is no share, so an end that nought misses asks for some of the basis.
    """

    limit: Limit
    end: End
    row: Vector
    bound: float
    basis: Vector
    some: float


class Sides:
    """All ends of all limits, the total among them, and whether some of them can hold together."""

    def __init__(self, recipe: Recipe, limits: Sequence[Limit], goal: Goal) -> None:
        self.labels = [part.label for part in recipe.parts]
        self.scale_g = recipe.total_g
        self.floor = np.array([goal.floor_g.get(label, 0.0) for label in self.labels]) / self.scale_g
        self.all = [side for limit in (*_total(recipe, goal), *limits) for side in self._sides(limit)]

    def _sides(self, limit: Limit) -> Iterable[Side]:
        one_sided: tuple[tuple[End, Limit], ...] = (
            ("low", replace(limit, high=None)),
            ("high", replace(limit, low=None)),
        )
        basis = self._vector(limit.denominator or {})
        # By the numbers a row was made of, not by what is left of them: a difference of nearly equal
        # numbers is noise.
        size = (
            max(map(abs, (*limit.numerator.values(), *(limit.denominator or {}).values())), default=1.0)
            or 1.0
        )
        for end, half in one_sided:
            for row, bound in half.rows():
                vector = self._vector(row)
                asks = limit.denominator is not None and ((half.low or 0.0) > 0 or (half.high or 0.0) < 0)
                some = LEAST_BASIS if asks else -INFINITY
                yield Side(limit, end, vector / size, bound / self.scale_g / size, basis, some)

    def _vector(self, row: Row) -> Vector:
        return np.array([row.get(label, 0.0) for label in self.labels])

    def _rows(self, chosen: Iterable[int]) -> list[tuple[Vector, float]]:
        """Rows that must hold for some ends, and that there is a batch at all."""
        rows = [(np.ones(len(self.labels)), LEAST_BATCH)]
        for side in (self.all[index] for index in chosen):
            rows.append((side.row, side.bound))
            if side.some > 0:
                rows.append((side.basis, side.some))
        return rows

    def hold(self, chosen: set[int]) -> bool:
        """Whether these ends can hold together."""
        rows = self._rows(sorted(chosen))
        program = Program(
            cost=np.zeros(len(self.labels)),
            low=self.floor,
            high=np.full(len(self.labels), INFINITY),
            rows=np.array([row for row, _ in rows]),
            row_low=np.array([bound for _, bound in rows]),
            row_high=np.full(len(rows), INFINITY),
        )
        return solve(program) is not None

    def irreducible(self, among: set[int]) -> list[int]:
        """Return a set that cannot hold, from a larger one, by leaving out every end that can be spared."""
        needed = set(among)
        for index in sorted(among):
            if not self.hold(needed - {index}):
                needed.discard(index)
        return sorted(needed)

    def reach(self, index: int, others: set[int], least_t: float = _LEAST_T) -> float | None:
        """Return the value one limit can have nearest its bound while others hold.

        ``None`` where they cannot. With ``y = t x`` a ratio of sums becomes a sum: maximise ``a · y`` with
        ``b · y = 1``; the least t bounds how large the batch may become.
        """
        side = self.all[index]
        sign = 1.0 if side.end == "low" else -1.0
        limit = side.limit
        top = self._vector(limit.numerator)
        rows = [np.append(row, -bound) for row, bound in self._rows(sorted(others - {index}))]
        unit = np.eye(len(self.labels))
        rows += [np.append(unit[i], -floor) for i, floor in enumerate(self.floor) if floor > 0]
        scale = self.scale_g if limit.denominator is None else 1.0
        found = self._extreme(sign, top, rows, self._norm(limit), least_t)
        return None if found is None else found * scale

    def _norm(self, limit: Limit) -> Vector:
        if limit.denominator is None:  # a plain sum: the batch at its own size, in grams
            return np.append(np.zeros(len(self.labels)), 1.0)
        return np.append(self._vector(limit.denominator), -limit.less_g / self.scale_g)

    def endless(self, index: int, others: set[int], reached: float) -> bool:
        """Whether a value is only come near to by a batch ever larger, because something cannot come out."""
        if not self.floor.any():
            return False
        made = self.reach(index, others, _LARGEST_T)
        return made is None or abs(made - reached) > _NEARER

    def _extreme(
        self, sign: float, top: Vector, rows: list[Vector], norm: Vector, least_t: float
    ) -> float | None:
        if not norm.any():
            return None
        count = len(top)
        program = Program(
            cost=np.append(-sign * top, 0.0),
            low=np.append(np.zeros(count), least_t),
            high=np.append(np.full(count, INFINITY), 1 / LEAST_BASIS),
            rows=np.array([*rows, norm]),
            row_low=np.append(np.zeros(len(rows)), 1.0),
            row_high=np.append(np.full(len(rows), INFINITY), 1.0),
        )
        z = _solved(program)
        return None if z is None else float(top @ z[:-1])


def _solved(program: Program) -> Vector | None:
    try:
        return solve(program)
    except NibsmithError:
        return None  # it could be passed without end, so there is no saying how far


def _total(recipe: Recipe, goal: Goal) -> tuple[Limit, ...]:
    if goal.free_total:
        return ()
    total_g = recipe.total_g if goal.total_g is None else goal.total_g
    reason = "the total is kept" if goal.total_g is None else "the total you gave"
    return (total_limit(recipe, low=total_g, high=total_g, reason=reason),)


def explain(recipe: Recipe, limits: Sequence[Limit], goal: Goal) -> Impossible:
    """Return why limits cannot all hold.

    Parameters
    ----------
    recipe : Recipe
        The recipe, with its weights [g].
    limits : sequence of Limit
        Limits that cannot all hold.
    goal : Goal
        The goal they were given with.

    Returns
    -------
    Impossible
        One or more irreducible sets, and how far each limit in them must give.

    Raises
    ------
    NibsmithError
        If they can hold after all, so that there is nothing to explain.
    """
    sides = Sides(recipe, limits, goal)
    everything = set(range(len(sides.all)))
    left = set(everything)
    found: list[list[int]] = []
    while len(found) < _MOST_CONFLICTS and not sides.hold(left):
        found.append(sides.irreducible(left))
        left -= set(found[-1])
    if not found:
        raise NibsmithError(
            "The solver found no way, and no limits that stand in the way",
            advice="Loosen a limit a little, or drop one that repeats.",
        )
    return Impossible(
        tuple(Conflict(tuple(_clash(sides, index, one, everything) for index in one)) for one in found)
    )


def _clash(sides: Sides, index: int, conflict: list[int], everything: set[int]) -> Clash:
    side = sides.all[index]
    with_all = sides.reach(index, everything)
    others = set(conflict) if with_all is None else everything
    reached = sides.reach(index, others) if with_all is None else with_all
    if reached is not None and sides.endless(index, others, reached):
        return Clash(side.limit, side.end, None, with_all is not None, endless=True)
    step = STRICT_STEP if side.limit.strict else 0.0
    inward = -step if side.end == "low" else step
    return Clash(side.limit, side.end, None if reached is None else reached + inward, with_all is not None)
