"""A bean as a body: its size, and how it takes up heat."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.tables import load, load_rows

CONSTITUENTS = ("water", "fat", "protein", "carbohydrate", "fibre", "ash")
MM_A_METRE = 1000


@dataclass(frozen=True, slots=True)
class BeanSize:
    """Length, width and thickness of a bean [mm], taken for an ellipsoid."""

    length_mm: float
    width_mm: float
    thickness_mm: float

    def __post_init__(self) -> None:
        if not min(self.length_mm, self.width_mm, self.thickness_mm) > 0:
            raise InputError("The sizes of a bean are above zero")

    @property
    def diameter_mm(self) -> float:
        """Diameter of the sphere of the same volume: the third root of length, width and thickness [mm]."""
        return float((self.length_mm * self.width_mm * self.thickness_mm) ** (1 / 3))

    @property
    def sphericity(self) -> float:
        """That diameter over the length [1]."""
        return self.diameter_mm / self.length_mm

    @property
    def volume_mm3(self) -> float:
        """Volume of the ellipsoid [mm³]."""
        return math.pi / 6 * self.length_mm * self.width_mm * self.thickness_mm

    @property
    def surface_mm2(self) -> float:
        """Surface of the ellipsoid [mm²], within 1.1 %."""
        power = load("roast_bean")["surface_power"].value
        a, b, c = (size**power for size in (self.length_mm, self.width_mm, self.thickness_mm))
        return float(math.pi * ((a * b + a * c + b * c) / 3) ** (1 / power))

    @property
    def equivalent_radius_mm(self) -> float:
        """Radius of the sphere with as much volume for each surface [mm]."""
        return 3 * self.volume_mm3 / self.surface_mm2


@dataclass(frozen=True, slots=True)
class BeanHeat:
    """How a food takes up heat: heat capacity [J/(kg K)], density [kg/m³], conductivity [W/(m K)]."""

    heat_capacity: float
    density: float
    conductivity: float

    @property
    def diffusivity(self) -> float:
        """Conductivity over density and heat capacity [m²/s]."""
        return self.conductivity / (self.density * self.heat_capacity)


def usual_bean() -> BeanSize:
    """Return the size of a usual dried bean.

    Returns
    -------
    BeanSize
        Length, width and thickness [mm].

    Examples
    --------
    >>> round(usual_bean().diameter_mm, 2)
    12.62

    References
    ----------
    [bart-plange-2003]
    """
    table = load("roast_bean")
    return BeanSize(*(table[key].value for key in ("length", "width", "thickness")))


def usual_shares() -> dict[str, float]:
    """Return the constituents of a usual dried bean.

    Returns
    -------
    dict
        Mass share by constituent [0 to 1].

    Examples
    --------
    >>> round(sum(usual_shares().values()), 9)
    1.0

    References
    ----------
    [common-practice]
    """
    table = load("roast_bean")
    return {name: table[f"share_{name}"].value for name in CONSTITUENTS}


def bean_heat(shares: Mapping[str, float], celsius: float) -> BeanHeat:
    """Return how a food takes up heat, from its analysis.

    ``c = sum(x_i c_i)``, ``1/rho = sum(x_i / rho_i)``, ``k = rho sum(k_i x_i / rho_i)``.

    Parameters
    ----------
    shares : Mapping[str, float]
        Mass shares x of water, fat, protein, carbohydrate, fibre and ash; they sum to one [0 to 1].
    celsius : float
        Temperature [°C].

    Returns
    -------
    BeanHeat
        Heat capacity [J/(kg K)], density without pores [kg/m³], conductivity [W/(m K)].

    Raises
    ------
    InputError
        If a constituent is none of these, or the shares do not sum to one.
    OutOfRange
        Outside -40 to 150 °C.

    Notes
    -----
    Range: -40 to 150 °C, water liquid. A whole bean is lighter for its pores.

    Examples
    --------
    >>> warm = bean_heat(usual_shares(), 25.0)
    >>> round(warm.heat_capacity), round(warm.density), round(warm.conductivity, 4)
    (2033, 1120, 0.2243)

    References
    ----------
    [ashrae-2006-9]
    """
    _check(shares, celsius)
    volumes = {name: share / _density(name, celsius) for name, share in shares.items()}
    density = 1 / sum(volumes.values())
    return BeanHeat(
        heat_capacity=sum(share * _law("heat_capacity", name, celsius) for name, share in shares.items()),
        density=density,
        conductivity=density
        * sum(
            volume * _law("roast_bean", f"conductivity_{name}", celsius) for name, volume in volumes.items()
        ),
    )


# How far shares may be from one for their rounding.
SHARES_TOLERANCE = 1e-6


def _check(shares: Mapping[str, float], celsius: float) -> None:
    if unknown := set(shares) - set(CONSTITUENTS):
        raise InputError("This is no constituent", value=", ".join(sorted(unknown)))
    if any(share < 0 for share in shares.values()) or abs(sum(shares.values()) - 1) > SHARES_TOLERANCE:
        raise InputError("Shares are zero or more and sum to one", value=sum(shares.values()))
    low, high = _ends()
    if not low <= celsius <= high:
        raise OutOfRange("The laws do not reach so far", value=celsius, limit=f"{low:g} to {high:g} °C")


def _ends() -> tuple[float, float]:
    rows = load_rows("densities.csv")
    return max(float(row["low"]) for row in rows), min(float(row["high"]) for row in rows)


def _density(name: str, celsius: float) -> float:
    row = next(row for row in load_rows("densities.csv") if row["constituent"] == name)
    return float(row["a"]) + float(row["b"]) * celsius + float(row["c"]) * celsius**2


def _law(group: str, name: str, celsius: float) -> float:
    table = load(group)
    a, b, c = (table[f"{name}_{letter}"].value for letter in "abc")
    return a + b * celsius + c * celsius**2
