"""Water that leaves a body by diffusion: how much is left after a time, and the time for a share left."""

from __future__ import annotations

import math
from enum import StrEnum
from functools import lru_cache

import numpy as np

from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics import Array, bracketed_root

# Below this Fourier number the early law is right to every digit; above it this many terms of the series are.
EARLY_STEP = 0.03
_TERMS = 12
_LATEST = 10  # Fourier number at which less than 1e-10 is left of either body


class Shape(StrEnum):
    """The body that stands for a bean."""

    SPHERE = "sphere"
    SLAB = "slab"


def moisture_left(fourier: Array | float, shape: Shape = Shape.SPHERE) -> Array:
    """Return the share of its water that a body still holds after diffusion to a dry surface.

    Sphere: ``6/pi² sum exp(-n² pi² Fo)/n²``; slab of half thickness L: ``8/pi² sum exp(-m² pi² Fo/4)/m²``
    over odd m; ``Fo = D t / r²``.

    Parameters
    ----------
    fourier : array or float
        Fourier number Fo of the diffusion, zero or more [1].
    shape : Shape
        Sphere, or slab open on both faces.

    Returns
    -------
    array
        Water left over water before [0 to 1].

    Notes
    -----
    The water is even at first, the surface dry at once, the diffusivity the same everywhere.

    Examples
    --------
    >>> one_bean = 1e-10 * 1800 / 0.006315**2
    >>> round(float(moisture_left(one_bean)[0]), 4)
    0.7861

    References
    ----------
    [crank-1975]
    """
    fo = np.atleast_1d(np.asarray(fourier, dtype=np.float64))
    squares, weights = _series(shape)
    late = np.exp(-np.multiply.outer(np.maximum(fo, EARLY_STEP), squares)) @ weights
    return np.where(fo < EARLY_STEP, _early(fo, shape), late)


def _early(fo: Array, shape: Shape) -> Array:
    root = np.sqrt(fo / math.pi)
    return 1 - 6 * root + 3 * fo if shape is Shape.SPHERE else 1 - 2 * root


@lru_cache(maxsize=2)
def _series(shape: Shape) -> tuple[Array, Array]:
    n = np.arange(1, _TERMS + 1, dtype=np.float64)
    if shape is Shape.SPHERE:
        return (math.pi * n) ** 2, 6 / (math.pi * n) ** 2
    odd = 2 * n - 1
    return (math.pi * odd / 2) ** 2, 8 / (math.pi * odd) ** 2


def fourier_for(left: float, shape: Shape = Shape.SPHERE) -> float:
    """Return the Fourier number at which a body still holds a share of its water.

    Parameters
    ----------
    left : float
        Water left over water before, above nothing and up to all [0 to 1].
    shape : Shape
        Sphere, or slab open on both faces.

    Returns
    -------
    float
        Fourier number [1].

    Raises
    ------
    OutOfRange
        If the share is not between a billionth and one.

    Examples
    --------
    >>> round(float(moisture_left(fourier_for(0.3))[0]), 9)
    0.3

    References
    ----------
    [crank-1975]
    """
    if not 1 / 10**9 <= left <= 1:
        raise OutOfRange(
            "The water left is a share of the water before", value=left, limit="above 0, up to 1"
        )
    if left == 1:
        return 0.0
    return bracketed_root(lambda fo: float(moisture_left(fo, shape)[0]) - left, 0.0, float(_LATEST))
