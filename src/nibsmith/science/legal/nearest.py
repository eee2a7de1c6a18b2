"""The smallest change of weights that meets every limit of a name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from nibsmith.science.mixture import Limit, Row

PIVOTS = 500  # a safeguard: a dozen are usual for a handful of moves
# Rows are scaled to their largest entry, so this is far below any weight and far above the noise of floats.
PIVOT_TOLERANCE = 1e-12


@dataclass(frozen=True, slots=True)
class Move:
    """A change that can be made in any amount up to ``most_g``: grams by label for each gram moved."""

    deltas: Mapping[str, float]
    most_g: float | None = None

    @property
    def cost(self) -> float:
        """Grams weighed or taken out for each gram moved."""
        return sum(abs(delta) for delta in self.deltas.values())


def smallest_change(
    limits: Sequence[Limit], masses_g: Mapping[str, float], moves: Sequence[Move]
) -> tuple[float, ...] | None:
    """Return how much of each move meets every limit with the least weight changed.

    ``min sum(cost · x)`` over ``x >= 0`` with ``row · (m + sum(delta · x)) >= bound`` for every row.

    Parameters
    ----------
    limits : Sequence[Limit]
        The limits to meet.
    masses_g : Mapping[str, float]
        The weights now, by part label [g].
    moves : Sequence[Move]
        What may be changed.

    Returns
    -------
    tuple[float, ...] or None
        Grams of each move [g]; ``None`` where no amount of them meets the limits.

    Notes
    -----
    Costs are positive, so nothing changed is dual feasible and the dual simplex method starts there. A vertex
    changes no more parts than there are limits that bind.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, part, property_limit
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_butter", 20.0), part("sugar_granulated", 80.0)))
    >>> fat = property_limit(bar, "total_fat", low=0.25)
    >>> masses_g = {"cocoa_butter": 20.0, "sugar_granulated": 80.0}
    >>> grams = smallest_change([fat], masses_g, [Move({"cocoa_butter": 1.0})])
    >>> round(grams[0], 3)
    6.667
    """
    rows: list[list[float]] = []
    needs: list[float] = []
    for row, bound in (each for limit in limits for each in limit.rows()):
        rows.append([_dot(row, move.deltas) for move in moves])
        needs.append(bound - _dot(row, masses_g))
    for index, move in enumerate(moves):
        if move.most_g is not None:
            rows.append([-1.0 if column == index else 0.0 for column in range(len(moves))])
            needs.append(-move.most_g)
    return _dual_simplex(rows, needs, [move.cost for move in moves])


def _dot(row: Row, masses_g: Mapping[str, float]) -> float:
    return sum(row.get(label, 0.0) * mass_g for label, mass_g in masses_g.items())


def _dual_simplex(
    rows: list[list[float]], needs: list[float], costs: list[float]
) -> tuple[float, ...] | None:
    """Minimise ``costs · x`` with ``rows · x >= needs`` and ``x >= 0``; every cost is over zero."""
    count = len(costs)
    table = [_scaled(row, need) for row, need in zip(rows, needs, strict=True)]
    prices = [*costs, 0.0]
    basis = [count + index for index in range(len(table))]
    nonbasis = list(range(count))
    for _ in range(PIVOTS):
        leaving = min(range(len(table)), key=lambda index: (table[index][-1], basis[index]), default=-1)
        if leaving < 0 or table[leaving][-1] >= -PIVOT_TOLERANCE:
            return _solution(table, basis, count)
        entering = _entering(table[leaving], prices, nonbasis)
        if entering is None:
            return None
        _pivot(table, prices, leaving, entering)
        basis[leaving], nonbasis[entering] = nonbasis[entering], basis[leaving]
    return None


def _scaled(row: list[float], need: float) -> list[float]:
    """Write ``row · x >= need`` as ``-row · x + slack = -need``, scaled to its largest entry."""
    largest = max((abs(value) for value in row), default=0.0) or abs(need) or 1.0
    return [*(-value / largest for value in row), -need / largest]


def _entering(row: list[float], prices: list[float], nonbasis: list[int]) -> int | None:
    usable = [column for column in range(len(nonbasis)) if row[column] < -PIVOT_TOLERANCE]
    return min(usable, key=lambda column: (prices[column] / -row[column], nonbasis[column]), default=None)


def _pivot(table: list[list[float]], prices: list[float], leaving: int, entering: int) -> None:
    """Exchange a basic and a nonbasic variable: the column of one takes the place of the other."""
    pivot_row = table[leaving]
    pivot = pivot_row[entering]
    pivot_row[:] = [value / pivot for value in pivot_row]
    pivot_row[entering] = 1 / pivot
    for row in (*(row for index, row in enumerate(table) if index != leaving), prices):
        factor = row[entering]
        row[entering] = 0.0
        row[:] = [value - factor * other for value, other in zip(row, pivot_row, strict=True)]


def _solution(table: list[list[float]], basis: list[int], count: int) -> tuple[float, ...]:
    found = [0.0] * count
    for row, variable in zip(table, basis, strict=True):
        if variable < count:
            found[variable] = max(0.0, row[-1])
    return tuple(found)
