"""Points and weights of a polynomial through a slab, both faces among them."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.polynomial import legendre

from nibsmith.science.numerics import Array


@cache
def lobatto(count: int) -> tuple[Array, Array, Array]:
    """Return points on -1 to 1, their weights, and the matrix that differentiates between them.

    Points are the ends and the zeros of the derivative of a Legendre polynomial; a weighted sum over them
    integrates polynomials up to degree ``2·count - 3`` exactly.

    Parameters
    ----------
    count : int
        How many points, two at least.

    Returns
    -------
    tuple of array
        Points from -1 to 1, weights that add to 2, both of length ``count`` [1]; and the matrix, ``count`` by
        ``count``, that gives the derivative at the points from the values there [1].

    Examples
    --------
    >>> points, weights, slopes = lobatto(4)
    >>> bool(np.isclose(weights @ points**4, 2 / 5)), bool(np.allclose(slopes @ points**2, 2 * points))
    (True, True)
    """
    last = np.zeros(count)
    last[-1] = 1
    inner = np.sort(legendre.legroots(legendre.legder(last)).real)
    points = np.concatenate([[-1.0], inner, [1.0]])
    at = legendre.legval(points, last)
    weights = 2 / (count * (count - 1) * at**2)
    apart = points[:, None] - points[None, :] + np.eye(count)
    slopes = at[:, None] / at[None, :] / apart * (1 - np.eye(count))
    slopes[0, 0], slopes[-1, -1] = -count * (count - 1) / 4, count * (count - 1) / 4
    return points, weights, slopes


def between(values: Array, places: Array) -> Array:
    """Return what a polynomial through values at the points is worth elsewhere.

    Parameters
    ----------
    values : array
        By time, point and bar: three axes, the points of ``lobatto`` along the second [any unit].
    places : array
        Where it is wanted, from 0 at the first point to 1 at the last [1].

    Returns
    -------
    array
        By time, place and bar [the same unit].

    Examples
    --------
    >>> squares = (lobatto(4)[0] ** 2).reshape(1, 4, 1)
    >>> between(squares, np.array([0.5, 1.0])).round(12).ravel().tolist()
    [0.0, 1.0]
    """
    count = values.shape[1]
    points = lobatto(count)[0]
    basis = legendre.legvander(points, count - 1)
    wanted = legendre.legvander(2 * places - 1, count - 1)
    return np.asarray(np.einsum("qp,tpb->tqb", wanted @ np.linalg.inv(basis), values))
