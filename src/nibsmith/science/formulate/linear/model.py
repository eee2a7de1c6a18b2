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
    """Return the row starts and column indices of a dense matrix stored by rows."""
    starts = np.arange(0, rows * columns + 1, columns, dtype=np.int32)
    return starts, np.tile(np.arange(columns, dtype=np.int32), rows)


def program_of(aim: Aim) -> Program:
    """Return a balance as a linear program.

    For the cheapest, z is x; for the least change it is what is added (first half) and taken away (second
    half).
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
    """Return the shares of a z."""
    if not aim.least_change:
        shares: list[float] = z.tolist()
        return shares
    half = len(aim.start)
    moves = (z[:half] - z[half:]).tolist()
    return [start + move for start, move in zip(aim.start, moves, strict=True)]
