"""Plain conduction in slab, cylinder and sphere: the exact series, and the body of one temperature."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import bracketed_root

TERMS = 40
# How near to the ends of its interval an eigenvalue is looked for.
_END_EPSILON = 1e-9


class Shape(StrEnum):
    """A slab of two half thicknesses, a long cylinder, a sphere."""

    SLAB = "slab"
    CYLINDER = "cylinder"
    SPHERE = "sphere"


@dataclass(frozen=True, slots=True)
class Mode:
    """One term of the series: its eigenvalue and its weight [1]."""

    eigenvalue: float
    weight: float


def modes(shape: Shape, biot: float, count: int = TERMS) -> tuple[Mode, ...]:
    """Return the terms of the series for a body that is cooled at its surface.

    Slab ``z·tan z = Bi``, ``C = 4 sin z / (2z + sin 2z)``; cylinder ``z·J1(z)/J0(z) = Bi``,
    ``C = 2 J1 / (z·(J0² + J1²))``; sphere ``1 - z·cot z = Bi``, ``C = 4(sin z - z cos z)/(2z - sin 2z)``.

    Parameters
    ----------
    shape : Shape
        Slab, cylinder or sphere.
    biot : float
        ``h·L/k`` with the half thickness or the radius [1].
    count : int
        How many terms.

    Returns
    -------
    tuple of Mode
        In rising order.

    Raises
    ------
    InputError
        If the Biot number is not more than nothing.

    Examples
    --------
    >>> first = modes(Shape.SLAB, 1.0, 1)[0]
    >>> round(first.eigenvalue, 4), round(first.weight, 4)
    (0.8603, 1.1191)

    References
    ----------
    [incropera-conduction]
    """
    if not (0 < biot < math.inf and count >= 1):
        raise InputError("A Biot number is more than nothing", value=biot)
    condition = {Shape.SLAB: _slab, Shape.CYLINDER: _cylinder(), Shape.SPHERE: _sphere}[shape]
    weight = {Shape.SLAB: _slab_weight, Shape.CYLINDER: _cylinder_weight(), Shape.SPHERE: _sphere_weight}[
        shape
    ]
    found = []
    for low, high in _intervals(shape, count):
        root = bracketed_root(lambda z: condition(z, biot), low, high)
        found.append(Mode(root, weight(root)))
    return tuple(found)


def excess_left(shape: Shape, biot: float, fourier: float, place: float = 0.0, terms: int = TERMS) -> float:
    """Return what is left of the difference in temperature at a place.

    ``theta = sum C_n·f(z_n·x)·exp(-z_n²·Fo)``, f the cosine, J0, or ``sin(zx)/(zx)``.

    Parameters
    ----------
    shape : Shape
        Slab, cylinder or sphere.
    biot : float
        ``h·L/k`` [1].
    fourier : float
        ``alpha·t/L²`` [1].
    place : float
        From the middle 0 to the surface 1 [1].
    terms : int
        How many terms of the series.

    Returns
    -------
    float
        ``(T - T_around) / (T_start - T_around)`` [0 to 1].

    Raises
    ------
    InputError
        If a number is less than it can be.

    Notes
    -----
    One term is good to 2 % from Fo = 0.2 on. With 40 terms it is exact to 1e-6 from Fo = 0.001 on.

    Examples
    --------
    >>> round(excess_left(Shape.SPHERE, 1.5, 0.79365, terms=1), 4)
    0.0952

    References
    ----------
    [incropera-conduction]
    """
    if fourier < 0 or not 0 <= place <= 1:
        raise InputError("Time runs forward, and places lie between 0 and 1", value=f"{fourier:g}, {place:g}")
    profile = _profile(shape)
    return sum(
        mode.weight * profile(mode.eigenvalue * place) * math.exp(-(mode.eigenvalue**2) * fourier)
        for mode in modes(shape, biot, terms)
    )


def lumped_left(seconds: float, constant_s: float) -> float:
    """Return what is left of the difference in temperature of a body that has one temperature.

    ``theta = exp(-t / tau)``, ``tau = rho·c·V / (h·S)``.

    Parameters
    ----------
    seconds : float
        Time [s].
    constant_s : float
        Time constant [s].

    Returns
    -------
    float
        ``(T - T_around) / (T_start - T_around)`` [0 to 1].

    Raises
    ------
    InputError
        If the constant is not more than nothing.

    Notes
    -----
    Range: Biot numbers under 0.1, with the volume over the surface as length.

    Examples
    --------
    >>> round(lumped_left(10.0, 10.0), 4)
    0.3679

    References
    ----------
    [geankoplis-5]
    """
    if not constant_s > 0 or seconds < 0:
        raise InputError("A body cools with a time constant", value=f"{constant_s:g} s")
    return math.exp(-seconds / constant_s)


def _slab(z: float, biot: float) -> float:
    return z * math.sin(z) - biot * math.cos(z)


def _sphere(z: float, biot: float) -> float:
    return (1 - biot) * math.sin(z) - z * math.cos(z)


def _cylinder() -> Callable[[float, float], float]:
    from scipy.special import j0, j1

    return lambda z, biot: float(z * j1(z) - biot * j0(z))


def _slab_weight(z: float) -> float:
    return 4 * math.sin(z) / (2 * z + math.sin(2 * z))


def _sphere_weight(z: float) -> float:
    return 4 * (math.sin(z) - z * math.cos(z)) / (2 * z - math.sin(2 * z))


def _cylinder_weight() -> Callable[[float], float]:
    from scipy.special import j0, j1

    return lambda z: float(2 * j1(z) / (z * (j0(z) ** 2 + j1(z) ** 2)))


def _profile(shape: Shape) -> Callable[[float], float]:
    if shape is Shape.SLAB:
        return math.cos
    if shape is Shape.SPHERE:
        return lambda z: math.sin(z) / z if z else 1.0
    from scipy.special import j0

    return lambda z: float(j0(z))


def _intervals(shape: Shape, count: int) -> list[tuple[float, float]]:
    """Intervals that hold one eigenvalue each, for every Biot number."""
    if shape is Shape.SLAB:
        starts = [math.pi * number for number in range(count)]
        return [(start + _END_EPSILON, start + math.pi / 2) for start in starts]
    if shape is Shape.SPHERE:
        starts = [math.pi * number for number in range(count)]
        return [(start + _END_EPSILON, start + math.pi - _END_EPSILON) for start in starts]
    from scipy.special import jn_zeros

    ends, lows = jn_zeros(0, count), [0.0, *jn_zeros(1, count)[: count - 1]]
    return [(float(low) + _END_EPSILON, float(high)) for low, high in zip(lows, ends, strict=True)]
