"""Draws that fill a space evenly: few of them do where a result is dear."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics.normal import normal_quantile
from nibsmith.science.numerics.spread import Array, Distribution

QUASI_DRAWS = 256
_BITS = 30
# For each direction after the first: coefficients of its primitive polynomial, and its first odd numbers.
_DIRECTIONS = (
    (0, (1,)),
    (1, (1, 3)),
    (1, (1, 3, 1)),
    (2, (1, 1, 1)),
    (1, (1, 1, 3, 3)),
    (4, (1, 3, 5, 13)),
    (2, (1, 1, 5, 5, 17)),
    (4, (1, 1, 5, 5, 5)),
    (7, (1, 1, 7, 11, 19)),
    (11, (1, 1, 5, 1, 1)),
    (13, (1, 1, 1, 3, 11)),
)


@lru_cache(maxsize=8)
def quasi_uniform(count: int, columns: int) -> Array:
    """Return points of Sobol's sequence, each moved to the middle of its cell.

    Parameters
    ----------
    count : int
        How many points, best a power of two.
    columns : int
        How many directions, at most 12.

    Returns
    -------
    array
        By point and direction [0 to 1].

    Raises
    ------
    OutOfRange
        For more directions than are tabled.

    Examples
    --------
    >>> quasi_uniform(4, 2).tolist()
    [[0.125, 0.125], [0.625, 0.625], [0.875, 0.375], [0.375, 0.875]]

    References
    ----------
    [joe-kuo-2008]
    """
    if columns > len(_DIRECTIONS) + 1:
        raise OutOfRange("No draws for so many inputs", value=columns, limit=len(_DIRECTIONS) + 1)
    numbers = np.array([_numbers(column) for column in range(columns)], dtype=np.int64).reshape(
        columns, _BITS
    )
    whole = np.zeros((count, columns), dtype=np.int64)
    for place in range(1, count):
        lowest_zero = (place & -place).bit_length() - 1
        whole[place] = whole[place - 1] ^ numbers[:, lowest_zero]
    points: Array = whole / (1 << _BITS) + 1 / (2 * count)
    points.setflags(write=False)
    return points


def _numbers(column: int) -> list[int]:
    """Direction numbers of one direction, as integers of so many bits."""
    if column == 0:
        return [1 << (_BITS - 1 - bit) for bit in range(_BITS)]
    polynomial, odd = _DIRECTIONS[column - 1]
    degree = len(odd)
    found = [number << (_BITS - 1 - bit) for bit, number in enumerate(odd)]
    for bit in range(degree, _BITS):
        new = found[bit - degree] ^ (found[bit - degree] >> degree)
        for term in range(1, degree):
            if polynomial >> (degree - 1 - term) & 1:
                new ^= found[bit - term]
        found.append(new)
    return found


def quasi_drawn(inputs: Mapping[str, Distribution], count: int = QUASI_DRAWS) -> dict[str, Array]:
    """Return draws of all inputs together that fill their space evenly.

    Parameters
    ----------
    inputs : Mapping[str, Distribution]
        What varies, by name; the order decides which direction each gets.
    count : int
        How many draws.

    Returns
    -------
    dict
        Name to one value a draw, in the unit of the input.

    Examples
    --------
    >>> from nibsmith.science.numerics.spread import Triangle
    >>> round(float(quasi_drawn({"size": Triangle(15.0, 20.0, 30.0)})["size"].mean()), 2)
    21.67
    """
    points = quasi_uniform(count, len(inputs)) if inputs else np.empty((count, 0))
    found = {}
    for column, (name, what) in enumerate(inputs.items()):
        uniform = np.ascontiguousarray(points[:, column])
        found[name] = what.at(uniform, np.array([normal_quantile(share) for share in uniform.tolist()]))
    return found
