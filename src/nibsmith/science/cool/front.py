"""A freezing front that runs into a liquid at its melting point: the exact answer for one cold wall."""

from __future__ import annotations

import math

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import bracketed_root

# The front constant is larger than this for every Stefan number that can be, and smaller than the next.
_LEAST_EPSILON = 1e-9
_MOST = 10


def front_constant(stefan: float) -> float:
    """Return how far a front runs, in lengths of diffusion.

    Neumann: ``lambda·exp(lambda²)·erf(lambda) = St / sqrt(pi)``.

    Parameters
    ----------
    stefan : float
        ``c·(T_melting - T_wall) / dH`` [1].

    Returns
    -------
    float
        The constant lambda [1].

    Raises
    ------
    InputError
        If the Stefan number is not more than nothing.

    Examples
    --------
    >>> round(front_constant(1.0), 6)
    0.620063

    References
    ----------
    [stefan-neumann]
    """
    if not 0 < stefan < math.inf:
        raise InputError("A Stefan number is more than nothing", value=stefan)

    def too_far(constant: float) -> float:
        return constant * math.exp(constant**2) * math.erf(constant) - stefan / math.sqrt(math.pi)

    return bracketed_root(too_far, _LEAST_EPSILON, _MOST)


def front_depth(stefan: float, diffusivity: float, seconds: float) -> float:
    """Return how deep the front is.

    ``s = 2·lambda·sqrt(alpha·t)``.

    Parameters
    ----------
    stefan : float
        ``c·(T_melting - T_wall) / dH`` [1].
    diffusivity : float
        ``k / (rho·c)`` of the solid [m²/s].
    seconds : float
        Time since the wall is cold [s].

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    InputError
        For numbers that cannot be.

    Notes
    -----
    The wall touches perfectly and the liquid is at its melting point, so that a bar takes longer than this.

    Examples
    --------
    >>> round(1000 * front_depth(0.553043, 1.209482e-7, 300.0), 3)
    5.849

    References
    ----------
    [stefan-neumann]
    """
    if not diffusivity > 0 or seconds < 0:
        raise InputError("Heat spreads and time runs forward", value=f"{diffusivity:g} m²/s, {seconds:g} s")
    return 2 * front_constant(stefan) * math.sqrt(diffusivity * seconds)
