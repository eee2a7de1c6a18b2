"""Grinding as breakage: how fast each size breaks, into what, and what that makes of a size distribution.

Sizes are kept in classes, finest first. What breaks leaves its class at a rate and falls into finer ones, so
the masses follow a linear system with a triangular matrix, which is solved exactly for any number of times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array

# The closed solution is kept where its terms, before they cancel, stay so small that rounding cannot reach
# the tenth digit of a share; else each time is stepped to by a matrix exponential.
CANCELLATION_TOLERANCE = 1e-11
MASS_TOLERANCE = 1e-9  # how far shares may be from summing to one
_TERMS = 20  # 1/20! is below the last digit of a double


@dataclass(frozen=True, slots=True)
class Breakage:
    """How grains break.

    Selection ``S = speed · (x / reference_um)^exponent`` [1/h]; fragments of a grain of size y finer than x
    ``B = fine_share · (x/y)^fine + (1 - fine_share) · (x/y)^coarse``.
    """

    speed: float
    exponent: float
    fine: float
    coarse: float = 4.0
    fine_share: float = 1.0
    reference_um: float = 100.0

    def __post_init__(self) -> None:
        above_zero = self.speed > 0 and self.fine > 0 and self.coarse > 0 and self.reference_um > 0
        if not (above_zero and self.exponent >= 0 and 0 <= self.fine_share <= 1):
            raise InputError("These constants describe no breakage", value=self)


def grind(edges_um: Sequence[float], shares: Sequence[float], how: Breakage, hours: Sequence[float]) -> Array:
    """Return the size distribution after each of some times of grinding.

    ``dm_i/dt = -S_i·m_i + sum_{j>i} b_ij·S_j·m_j``, solved exactly as ``m(t) = V·exp(L·t)·V⁻¹·m(0)`` with
    the rates L and eigenvectors V of the triangular matrix, and by matrix exponentials where rates lie so
    close together that the terms of that would cancel.

    Parameters
    ----------
    edges_um : sequence of float
        Edges of the classes, rising, one more than there are classes [µm].
    shares : sequence of float
        Volume in each class at the start, finest first [0 to 1].
    how : Breakage
        How grains break.
    hours : sequence of float
        Times, zero or more, in any order [h].

    Returns
    -------
    array
        One row a time, one column a class, finest first; each row sums to one [0 to 1].

    Raises
    ------
    InputError
        If the edges do not rise, the shares do not sum to one, or a time is negative.

    Notes
    -----
    The finest class keeps what reaches it. With ``fine = exponent`` and ``fine_share = 1`` the oversize at
    every edge follows ``R(x, t) = R(x, 0)·exp(-S(x)·t)``, however wide the classes.

    Examples
    --------
    >>> rows = grind([1.0, 10.0, 100.0], [0.0, 1.0], Breakage(0.1, 1.0, 1.0), [0.0, 10.0])
    >>> [[round(float(share), 4) for share in row] for row in rows]
    [[0.0, 1.0], [0.0952, 0.9048]]

    References
    ----------
    [austin-1971], [reid-1965], [higham-2005]
    """
    edges, start, times = checked(edges_um, shares, hours)
    matrix = breakage_matrix(edges, how)
    vectors, weights, rates = modes(matrix, start)
    if weights is None or cancels(vectors, weights):
        return stepped(matrix, start, times)
    # Times down and modes across: the product then needs no turning round.
    return (np.exp(np.multiply.outer(times, rates)) * weights) @ vectors.T


def breakage_matrix(edges: Array, how: Breakage) -> Array:
    """Return the rates at which the masses of the classes feed each other.

    ``dm/dt = A·m`` with ``A_ii = -S_i·B(lower edge of i, x_i)`` and, for a coarser class j,
    ``A_ij = S_j·(B(upper edge of i, x_j) - B(lower edge of i, x_j))``, x the middle of a class on a
    logarithmic scale.

    Parameters
    ----------
    edges : array
        Edges of n classes, rising from above zero, n + 1 of them [µm].
    how : Breakage
        How grains break.

    Returns
    -------
    array
        n rows, the class that gains, and n columns, the class that breaks, finest first; upper triangular,
        and each column sums to zero [1/h].

    Notes
    -----
    A class loses only what falls below its own lower edge. So the oversize at an edge is fed by nothing and
    lost at ``S(y)·B(edge, y)`` from every class above, which is one rate where fine = exponent: there the
    classes are exact however wide. The finest class keeps what reaches it: B at the first edge counts as
    zero.

    Examples
    --------
    >>> breakage_matrix(np.array([1.0, 10.0, 100.0]), Breakage(0.1, 1.0, 1.0))[:, 1].round(6).tolist()
    [0.01, -0.01]

    References
    ----------
    [austin-1971]
    """
    logs = np.log(edges)
    middle = 0.5 * (logs[1:] + logs[:-1])
    rates = how.speed * np.exp(how.exponent * (middle - np.log(how.reference_um)))
    rates[0] = 0.0  # the finest class keeps what reaches it
    ratio = np.minimum(logs[:-1, None] - middle, 0.0)
    finer = how.fine_share * np.exp(how.fine * ratio)
    if how.fine_share < 1:
        finer += (1 - how.fine_share) * np.exp(how.coarse * ratio)
    finer[0] = 0.0
    finer *= rates
    matrix = np.zeros_like(finer)
    np.subtract(finer[1:], finer[:-1], out=matrix[:-1])
    matrix *= _above(middle.size)
    matrix[np.diag_indices_from(matrix)] = -np.diagonal(finer)
    return matrix


@lru_cache(maxsize=8)
def _above(count: int) -> Array:
    """Ones above the diagonal."""
    return np.triu(np.ones((count, count)), 1)


def modes(matrix: Array, start: Array) -> tuple[Array, Array | None, Array]:
    """Return the eigenvectors of a matrix of rates and how a start is made of them.

    ``A = V·L·V⁻¹`` and ``w = V⁻¹·m(0)``, so that ``m(t) = V·(exp(L·t)·w)``.

    Parameters
    ----------
    matrix : array
        Rates between n classes, n rows and columns, triangular [1/h].
    start : array
        Volume in each class at the start [0 to 1].

    Returns
    -------
    tuple of (array, array or None, array)
        V with one column a mode, w, and the rates L, each of n [1; 1; 1/h]. No w where columns of V are not
        independent.

    Examples
    --------
    >>> vectors, weights, rates = modes(np.array([[0.0, 0.1], [0.0, -0.1]]), np.array([0.0, 1.0]))
    >>> (vectors @ weights).round(9).tolist(), sorted(rates.tolist())
    ([0.0, 1.0], [-0.1, 0.0])

    References
    ----------
    [reid-1965]
    """
    rates, vectors = np.linalg.eig(matrix)
    try:
        return vectors, np.linalg.solve(vectors, start), rates
    except np.linalg.LinAlgError:
        return vectors, None, rates


def cancels(vectors: Array, weights: Array) -> bool:
    """Return whether the terms of the closed solution are so large before they cancel that digits are lost.

    ``max(|V|·|w|)·n·eps`` is not below 1e-11.

    Parameters
    ----------
    vectors : array
        Eigenvectors of n classes, n by n, or layers of such [1].
    weights : array
        Weight of each in the start, n, or layers of such [1].

    Returns
    -------
    bool
        True, too, where a term is not a number.

    Examples
    --------
    >>> cancels(np.eye(2), np.array([0.0, 1.0])), cancels(np.eye(2), np.array([1e9, 1.0]))
    (False, True)
    """
    largest = float((np.abs(vectors) @ np.abs(weights)[..., None]).max())
    return not largest * np.finfo(float).eps * weights.shape[-1] < CANCELLATION_TOLERANCE


def stepped(matrix: Array, start: Array, times: Array) -> Array:
    """Return the masses at each time by matrix exponentials from one time to the next.

    Parameters
    ----------
    matrix : array
        Rates between n classes, n by n [1/h].
    start : array
        Volume in each class at the start [0 to 1].
    times : array
        Zero or more, in any order [h].

    Returns
    -------
    array
        One row a time, in the order given, one column a class [0 to 1].

    Examples
    --------
    >>> stepped(np.array([[0.0, 0.1], [0.0, -0.1]]), np.array([0.0, 1.0]), np.array([10.0])).round(4).tolist()
    [[0.6321, 0.3679]]

    References
    ----------
    [higham-2005]
    """
    rows = np.empty((times.size, start.size))
    now, mass, done = 0.0, start, {0.0: np.eye(start.size)}
    for place in np.argsort(times, kind="stable"):
        step = float(times[place]) - now
        if step not in done:
            done[step] = transition(matrix, step)
        mass, now = done[step] @ mass, float(times[place])
        rows[place] = mass
    return rows


def transition(matrix: Array, step: float) -> Array:
    """Return where the mass of each class is after a step: ``exp(A·h)``.

    With the largest rate q, ``exp(A·h) = exp(-q·h)·sum((q·h)^k·P^k/k!)`` and ``P = I + A/q``, whose terms are
    none of them negative; the step h is halved until q·h is at most one, then the result squared.

    Parameters
    ----------
    matrix : array
        Rates A between n classes, n by n; at least one class breaks [1/h].
    step : float
        Time h, zero or more [h].

    Returns
    -------
    array
        n rows, where it is, and n columns, where it was; each column sums to one [0 to 1].

    Examples
    --------
    >>> transition(np.array([[0.0, 0.1], [0.0, -0.1]]), 10.0).round(4).tolist()
    [[1.0, 0.6321], [0.0, 0.3679]]

    References
    ----------
    [higham-2005]
    """
    fastest = float(-matrix.diagonal().min())
    halvings = max(0, int(np.ceil(np.log2(max(fastest * step, 1.0)))))
    small = fastest * step / 2**halvings
    moved = np.eye(matrix.shape[0]) + matrix / fastest
    result = term = np.eye(matrix.shape[0])
    for power in range(1, _TERMS):
        term = term @ moved * (small / power)
        result = result + term
    result = result / result.sum(axis=0)
    for _ in range(halvings):
        result = result @ result
        result /= result.sum(axis=0)
    return np.asarray(result)


def checked(
    edges_um: Sequence[float], shares: Sequence[float], hours: Sequence[float]
) -> tuple[Array, Array, Array]:
    """Return classes, start and times as arrays, refused where they cannot be.

    Parameters
    ----------
    edges_um : sequence of float
        Edges of the classes, rising from above zero, one more than there are classes [µm].
    shares : sequence of float
        Volume in each of two or more classes, summing to one within 1e-9 [0 to 1].
    hours : sequence of float
        Times, zero or more [h].

    Returns
    -------
    tuple of array
        Edges, shares and times, each of one axis [µm; 0 to 1; h].

    Raises
    ------
    InputError
        If the edges do not rise, the shares do not sum to one, or a time is negative.

    Examples
    --------
    >>> [part.tolist() for part in checked([1, 10, 100], [0, 1], [4])]
    [[1.0, 10.0, 100.0], [0.0, 1.0], [4.0]]
    """
    edges, start = np.asarray(edges_um, dtype=float), np.asarray(shares, dtype=float)
    times = np.atleast_1d(np.asarray(hours, dtype=float))
    if edges.size != start.size + 1 or start.size < 2:
        raise InputError(
            "Classes need one edge more than there are shares, and two at least", value=edges.size
        )
    if not (edges[0] > 0 and (edges[1:] > edges[:-1]).all() and np.isfinite(edges[-1])):
        raise InputError("Edges of classes rise from above zero")
    if not (start >= 0).all() or not abs(float(start.sum()) - 1) <= MASS_TOLERANCE:
        raise InputError("Shares of the classes are zero or more and sum to one", value=float(start.sum()))
    if not ((times >= 0) & np.isfinite(times)).all():
        raise InputError("Times of grinding are zero or more")
    return edges, start, times
