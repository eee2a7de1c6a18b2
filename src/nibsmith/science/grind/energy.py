"""The three laws of the energy of grinding."""

from __future__ import annotations

import math

from nibsmith.science.errors import InputError


def rittinger(constant: float, from_um: float, to_um: float) -> float:
    """Return the energy of grinding by Rittinger: in proportion to new surface.

    ``E = K (1/d2 - 1/d1)``. At constant power on a charge it is ``1/d = 1/d0 + k t``.

    Parameters
    ----------
    constant : float
        K, from one known grinding [energy · µm].
    from_um, to_um : float
        Sizes d1 before and d2 after [µm].

    Returns
    -------
    float
        Energy per mass, in the unit of the constant over µm [energy].

    Raises
    ------
    InputError
        If the grains would grow. One page prints d1 and d2 changed about, which makes the energy negative.

    Examples
    --------
    >>> constant = 13.0 / (1 / 10_000 - 1 / 50_000)
    >>> round(rittinger(constant, 75_000.0, 25_000.0), 3)
    4.333

    References
    ----------
    [energy-laws], [coulson-richardson-2]
    """
    _check(from_um, to_um)
    return constant * (1 / to_um - 1 / from_um)


def bond(constant: float, from_um: float, to_um: float) -> float:
    """Return the energy of grinding by Bond: between surface and volume.

    ``E = K (1/sqrt(d2) - 1/sqrt(d1))``; with a work index in kWh/t, K is ten times it.

    Parameters
    ----------
    constant : float
        K, from one known grinding [energy · sqrt(µm)].
    from_um, to_um : float
        Sizes d1 before and d2 after, that 80 % passes [µm].

    Returns
    -------
    float
        Energy per mass, in the unit of the constant over sqrt(µm) [energy].

    Raises
    ------
    InputError
        If the grains would grow.

    Examples
    --------
    >>> round(bond(10 * 12.0, 2500.0, 100.0), 2)
    9.6

    References
    ----------
    [energy-laws]
    """
    _check(from_um, to_um)
    return constant * (1 / math.sqrt(to_um) - 1 / math.sqrt(from_um))


def kick(constant: float, from_um: float, to_um: float) -> float:
    """Return the energy of grinding by Kick: the same for every halving.

    ``E = K ln(d1/d2)``.

    Parameters
    ----------
    constant : float
        K, from one known grinding [energy].
    from_um, to_um : float
        Sizes d1 before and d2 after [µm].

    Returns
    -------
    float
        Energy per mass, in the unit of the constant [energy].

    Raises
    ------
    InputError
        If the grains would grow.

    Examples
    --------
    >>> round(kick(13.0 / math.log(5), 75_000.0, 25_000.0), 3)
    8.874

    References
    ----------
    [energy-laws], [coulson-richardson-2]
    """
    _check(from_um, to_um)
    return constant * math.log(from_um / to_um)


def _check(from_um: float, to_um: float) -> None:
    if not 0 < to_um <= from_um < math.inf:
        raise InputError(
            "Grinding goes from a larger size to a smaller one", value=f"{from_um:g} to {to_um:g} µm"
        )
