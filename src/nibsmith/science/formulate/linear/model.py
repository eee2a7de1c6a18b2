"""A balance as the arrays of a linear program."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.formulate.sheet import Aim

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class Program:
    """Minimise ``cost · z`` with ``low <= z <= high`` and ``row_low <= rows z <= row_high``."""

    cost: Vector
    low: Vector
    high: Vector
    rows: Matrix
    row_low: Vector
    row_high: Vector

    @property
    def crossed(self) -> bool:
        """Whether a lower bound stands above its upper bound, so that nothing can keep both."""
        return bool((self.low > self.high).any() or (self.row_low > self.row_high).any())

    def inside(self, z: Vector) -> Vector:
        """Return z moved onto the bounds it passes; a solver passes them by its tolerance at most."""
        return np.minimum(np.maximum(z, self.low), self.high)


@lru_cache(maxsize=64)
def dense_pattern(rows: int, columns: int) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Return the row starts and column indices of a dense matrix stored by rows.

    Parameters
    ----------
    rows, columns : int
        Its size.

    Returns
    -------
    tuple of NDArray
        ``rows + 1`` starts and ``rows · columns`` indices, both of 32-bit integers [places, from 0].

    Examples
    --------
    >>> starts, indices = dense_pattern(2, 3)
    >>> starts.tolist(), indices.tolist()
    ([0, 3, 6], [0, 1, 2, 0, 1, 2])
    """
    starts = np.arange(0, rows * columns + 1, columns, dtype=np.int32)
    return starts, np.tile(np.arange(columns, dtype=np.int32), rows)


def program_of(aim: Aim) -> Program:
    """Return a balance as a linear program.

    For the cheapest, z is x; for the least change it is what is added (first half) and taken away (second
    half).

    Parameters
    ----------
    aim : Aim
        The balance, over the columns and rows of its sheet.

    Returns
    -------
    Program
        n columns for n parts, or 2n for the least change; a row for each row of the sheet [shares of the
        recipe's weight].

    Examples
    --------
    >>> from nibsmith.science.formulate.goal import Goal
    >>> from nibsmith.science.formulate.sheet import sheet_of
    >>> from nibsmith.science.mixture import Form, Recipe, part
    >>> bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> program_of(Aim(bar, Goal(), sheet_of(bar, [], Goal()))).rows.shape
    (1, 4)
    """
    sheet = aim.sheet
    columns, count = len(sheet.labels), len(sheet.rows)
    ends = _ends(aim)
    cut = len(ends[0])
    numbers = np.array([*chain(*ends), *sheet.row_low, *sheet.row_high, *chain.from_iterable(sheet.rows)])
    low, high = numbers[:cut], numbers[cut : 2 * cut]
    row_low, row_high = numbers[2 * cut : 2 * cut + count], numbers[2 * cut + count : 2 * (cut + count)]
    rows = numbers[2 * (cut + count) :].reshape(count, columns)
    if not aim.least_change:
        return Program(np.array(aim.price), low, high, rows, row_low, row_high)
    here = rows @ np.array(aim.start)
    both = np.concatenate((rows, -rows), axis=1)
    return Program(np.ones(cut), low, high, both, row_low - here, row_high - here)


def _ends(aim: Aim) -> tuple[list[float], list[float]]:
    """Bounds on z; a box that crosses stays one, to be seen."""
    sheet = aim.sheet
    if not aim.least_change:
        return sheet.low, sheet.high
    up_low, up_high, down_low, down_high = [], [], [], []
    for start, low, high in zip(aim.start, sheet.low, sheet.high, strict=True):
        up_low.append(low - start if low > start else 0.0)
        up_high.append(-1.0 if low > high else high - start if high > start else 0.0)
        down_low.append(start - high if start > high else 0.0)
        down_high.append(start - low if start > low else 0.0)
    return up_low + down_low, up_high + down_high


def values_of(aim: Aim, z: Vector) -> list[float]:
    """Return the shares that a solution of the program stands for.

    For the cheapest, ``x = z``; for the least change, ``x = start + z_added - z_taken``.

    Parameters
    ----------
    aim : Aim
        The balance with n parts, of which ``program_of`` made the program.
    z : Vector
        A solution: n numbers, or 2n where the least change was asked for [shares of the mass, 0 to 1].

    Returns
    -------
    list of float
        n shares in the order of the parts [0 to 1].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> aim = SimpleNamespace(least_change=True, start=(0.5, 0.5))
    >>> values_of(aim, np.array([0.25, 0.0, 0.0, 0.25]))
    [0.75, 0.25]
    """
    if not aim.least_change:
        shares: list[float] = z.tolist()
        return shares
    half = len(aim.start)
    moves = (z[:half] - z[half:]).tolist()
    return [start + move for start, move in zip(aim.start, moves, strict=True)]
