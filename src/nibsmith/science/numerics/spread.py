"""What a result spreads over when its inputs are ranges, and which of them widens it most.

The draws are a Latin hypercube with a fixed seed: each input takes every 1/n of its distribution once, in an
order of its own. The same question gives the same answer every time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.numerics.normal import normal_quantile

Array = NDArray[np.float64]
Values = float | Array
"""A number, or one for each draw."""

DRAWS = 10_000
ALONE = 128
_SEED = 1879
# How near to the widest input another must come to be named beside it.
TIE_MARGIN = 0.8


@dataclass(frozen=True, slots=True)
class Triangle:
    """A value between two ends, likeliest where it is typical; all in one unit."""

    low: float
    value: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise InputError(
                "A range must hold its typical value", value=f"{self.low:g}, {self.value:g}, {self.high:g}"
            )

    @property
    def central(self) -> float:
        """The typical value, in the unit of the input."""
        return self.value

    def at(self, uniform: Array, normal: Array) -> Array:  # noqa: ARG002
        """The values below which these shares lie, in the unit of the input."""
        width = self.high - self.low
        if not width:
            return np.full_like(uniform, self.value)
        rising = self.low + np.sqrt(uniform * width * (self.value - self.low))
        falling = self.high - np.sqrt((1 - uniform) * width * (self.high - self.value))
        return np.where(uniform * width < self.value - self.low, rising, falling)


@dataclass(frozen=True, slots=True)
class LogNormal:
    """A positive value known up to a factor: two in three lie between value / factor and value · factor."""

    value: float
    factor: float

    def __post_init__(self) -> None:
        if not (self.value > 0 and self.factor >= 1):
            raise InputError("A factor of error is one or more, of a value above zero", value=self.factor)

    @property
    def central(self) -> float:
        """The middle value, in the unit of the input."""
        return self.value

    def at(self, uniform: Array, normal: Array) -> Array:  # noqa: ARG002
        """The values at these normal scores, in the unit of the input."""
        return np.asarray(self.value * np.exp(np.log(self.factor) * normal))


Distribution = Triangle | LogNormal
"""What an input may be."""


@lru_cache(maxsize=8)
def _sorted_scores(count: int) -> tuple[Array, Array]:
    uniform = (np.arange(count) + 0.5) / count
    normal = np.array([normal_quantile(share) for share in uniform.tolist()])
    return uniform, normal


@lru_cache(maxsize=64)
def scores(count: int, name: str) -> tuple[Array, Array]:
    """Return the uniform and the normal scores of one input, in its own fixed order.

    Parameters
    ----------
    count : int
        How many draws.
    name : str
        Which input; each has another order, and the same whatever else varies.

    Returns
    -------
    tuple of arrays
        Shares between 0 and 1 and the standard normal scores that belong to them [1].

    Examples
    --------
    >>> uniform, normal = scores(4, "size")
    >>> sorted(uniform.tolist())
    [0.125, 0.375, 0.625, 0.875]
    """
    uniform, normal = _sorted_scores(count)
    order = np.random.default_rng((_SEED, crc32(name.encode()))).permutation(count)
    uniform, normal = uniform[order], normal[order]
    uniform.setflags(write=False)
    normal.setflags(write=False)
    return uniform, normal


def drawn(inputs: Mapping[str, Distribution], count: int = DRAWS) -> dict[str, Array]:
    """Return draws of all inputs together.

    Parameters
    ----------
    inputs : Mapping[str, Distribution]
        What varies, by name.
    count : int
        How many draws.

    Returns
    -------
    dict
        Name to one value a draw, in the unit of the input.

    Examples
    --------
    >>> round(float(drawn({"size": Triangle(15.0, 20.0, 30.0)})["size"].mean()), 2)
    21.67
    """
    return {name: _values(name, what, count) for name, what in inputs.items()}


@lru_cache(maxsize=64)
def _values(name: str, what: Distribution, count: int) -> Array:
    """Draws of one input, kept: the same question is asked again with every remedy."""
    values = what.at(*scores(count, name))
    values.setflags(write=False)
    return values


def alone(inputs: Mapping[str, Distribution], count: int = ALONE) -> dict[str, Array]:
    """Return draws in which one input varies at a time, the others at their middle.

    Parameters
    ----------
    inputs : Mapping[str, Distribution]
        What varies, by name.
    count : int
        How many draws for each input.

    Returns
    -------
    dict
        Name to values, input after input: in the first block the first input varies, and so on.

    Examples
    --------
    >>> values = alone({"a": Triangle(0.0, 1.0, 2.0), "b": Triangle(4.0, 5.0, 6.0)}, 2)
    >>> [round(float(a), 2) for a in values["a"]], [round(float(b), 2) for b in values["b"]]
    ([0.71, 1.29, 1.0, 1.0], [5.0, 5.0, 4.71, 5.29])
    """
    uniform, normal = _sorted_scores(count)
    values = {}
    for block, (name, what) in enumerate(inputs.items()):
        column = np.full(len(inputs) * count, what.central)
        column[block * count : (block + 1) * count] = what.at(uniform, normal)
        values[name] = column
    return values


def variance_shares(results: Array, names: Sequence[str]) -> dict[str, float]:
    """Return what each input alone adds to the variance of a result.

    ``share_i = V_i / sum(V)`` with V_i the variance while only input i varies.

    Parameters
    ----------
    results : array
        The result for the values of ``alone``, block after block.
    names : sequence of str
        The inputs in the same order.

    Returns
    -------
    dict
        Name to share [0 to 1]; all zero where nothing varies.

    Notes
    -----
    For a linear result the shares are exact; for others they leave out what inputs do together.

    Examples
    --------
    >>> values = alone({"a": Triangle(0.0, 1.0, 2.0), "b": Triangle(0.0, 1.0, 2.0)})
    >>> shares = variance_shares(values["a"] + 3 * values["b"], ("a", "b"))
    >>> {name: round(share, 3) for name, share in shares.items()}
    {'a': 0.1, 'b': 0.9}
    """
    if not names:
        return {}
    parts = results.reshape(len(names), -1).var(axis=1)
    total = float(parts.sum())
    return {name: float(part) / total if total else 0.0 for name, part in zip(names, parts, strict=True)}


def widest(shares: Mapping[str, float]) -> tuple[str, ...]:
    """Return the input that widens a result most, with others that come near it.

    Parameters
    ----------
    shares : Mapping[str, float]
        Shares of the variance by name [0 to 1].

    Returns
    -------
    tuple of str
        The widest first; another is named beside it from four fifths of its share on. Empty where nothing
        varies.

    Examples
    --------
    >>> widest({"size": 0.45, "water": 0.40, "fat": 0.15}), widest({"size": 0.0})
    (('size', 'water'), ())
    """
    most = max(shares.values(), default=0.0)
    if not most:
        return ()
    ordered = sorted(shares, key=lambda name: -shares[name])
    return tuple(name for name in ordered if shares[name] >= TIE_MARGIN * most)


def quantile(values: Array, share: float) -> float:
    """Return the smallest of some values that at least this share of them do not pass.

    Parameters
    ----------
    values : array
        One value a draw; infinite ones are largest.
    share : float
        The share [0 to 1].

    Returns
    -------
    float
        One of the values, in their unit, not between two of them [unit of the values].

    Examples
    --------
    >>> quantile(np.array([4.0, 1.0, np.inf, 2.0]), 0.75)
    4.0
    """
    place = min(max(int(np.ceil(share * values.size)) - 1, 0), values.size - 1)
    return float(np.partition(values, place)[place])
