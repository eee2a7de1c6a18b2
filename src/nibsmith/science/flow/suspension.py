"""Grains in liquid fat: how crowded they are, and how thick that makes the mass.

Every function takes numbers, or arrays with one value for each draw.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from nibsmith.science.flow.parameters import parameters
from nibsmith.science.numerics import Array, Values, normal_quantile, normal_share
from nibsmith.science.tables import load

_POINTS = 600  # of the table of the locked share: linear between them it is right to five digits


def equivalent_fat(fat: Values, lecithin: Values, water: Values) -> Values:
    """Return the fat that a mass flows as if it had.

    ``F_e = F + 10·min(L, 0.005) - max(0, w - 0.010) / 0.3``.

    Parameters
    ----------
    fat : float or array
        Liquid fat F, a share of the mass [0 to 1].
    lecithin : float or array
        Lecithin L; more than 0.5 % does no more [0 to 1].
    water : float or array
        Water w of the finished mass; up to 1 % costs nothing [0 to 1].

    Returns
    -------
    float or array
        Equivalent fat F_e, a share of the mass [0 to 1].

    Notes
    -----
    Two rules of the trade taken as lines. Range: F 0.25 to 0.42, w up to 0.02.

    Examples
    --------
    >>> round(float(equivalent_fat(0.35, 0.0, 0.012)), 4)
    0.3433

    References
    ----------
    [mcgee-2004], [moisture-trade], [lecithin-trade]
    """
    p = parameters()
    gained = p.lecithin_as_fat * np.minimum(lecithin, p.lecithin_most)
    lost = np.maximum(0.0, np.subtract(water, p.water_free)) / p.water_for_fat
    return np.asarray(fat + gained - lost)[()]


def solids_by_volume(equivalent: Values, solids_density: Values) -> Values:
    """Return the volume share of what is not liquid fat.

    ``phi = ((1 - F_e)/rho_s) / ((1 - F_e)/rho_s + F_e/rho_f)``.

    Parameters
    ----------
    equivalent : float or array
        Equivalent fat F_e, a share of the mass [0 to 1].
    solids_density : float or array
        Density rho_s of the fat-free solids [kg/m³].

    Returns
    -------
    float or array
        Volume share phi [0 to 1].

    Examples
    --------
    >>> round(float(solids_by_volume(0.3433, 1495.92)), 4)
    0.5331

    References
    ----------
    [chocolate-constants]
    """
    solids = (1 - equivalent) / solids_density
    return solids / (solids + equivalent / parameters().density_liquid_butter)


def specific_surface(d90_um: Values, sauter_share: Values) -> Values:
    """Return the surface of grains for their solid volume, from their D90.

    ``S = 6 / (kappa · D90)``.

    Parameters
    ----------
    d90_um : float or array
        Size that 90 % of the volume is finer than [µm].
    sauter_share : float or array
        D[3,2] over D90, kappa: 0.22 for stones and rollers, 0.38 for a ball mill [1].

    Returns
    -------
    float or array
        Surface over volume [1/µm].

    Examples
    --------
    >>> round(float(specific_surface(20.0, 0.22)), 4)
    1.3636

    References
    ----------
    [hatch-choate], [alamprese-2007]
    """
    return 6 / (sauter_share * d90_um)


def crowding(solids: Values, surface: Values) -> Values:
    """Return how crowded grains are, with what clings to their surface.

    ``phi_e = phi · (1 + delta·(S - S_0))``.

    Parameters
    ----------
    solids : float or array
        Volume share phi [0 to 1].
    surface : float or array
        Surface over volume S [1/µm].

    Returns
    -------
    float or array
        Crowding phi_e [0 to 1].

    Notes
    -----
    delta was set so that the published effect of size at 25 % fat comes out; it is a calibration.

    Examples
    --------
    >>> round(float(crowding(0.5331, 1.3636)), 4)
    0.5404

    References
    ----------
    [afoakwa-2008]
    """
    p = parameters()
    return solids * (1 + p.surface_crowding * (surface - p.surface_reference))


def liquid_fat_viscosity(celsius: Values) -> Values:
    """Return the viscosity of liquid cocoa butter.

    ``eta_f = 0.045 · exp(E/R · (1/T - 1/313.15))`` with E 30 kJ/mol.

    Parameters
    ----------
    celsius : float or array
        Temperature [°C].

    Returns
    -------
    float or array
        Viscosity [Pa·s].

    Notes
    -----
    From memory. Range: 27 to 50 °C, below 32 °C only for the liquid part of a tempered mass.

    Examples
    --------
    >>> [round(float(liquid_fat_viscosity(celsius)), 4) for celsius in (32.0, 40.0, 50.0)]
    [0.0609, 0.045, 0.0315]
    """
    p = parameters()
    inverse = 1 / (celsius + _zero_k()) - 1 / p.fat_viscosity_at_k
    return np.asarray(p.fat_viscosity * np.exp(p.activation_k * inverse))[()]


@lru_cache(maxsize=1)
def _zero_k() -> float:
    return load("units")["celsius_zero"].value


def plastic_viscosity(crowded: Values, liquid: Values, limit: Values) -> Values:
    """Return the Casson plastic viscosity of a suspension, by Maron and Pierce.

    ``eta = eta_f · (1 - phi_e/phi_m)^-2``.

    Parameters
    ----------
    crowded : float or array
        Crowding phi_e [0 to 1].
    liquid : float or array
        Viscosity eta_f of the liquid fat [Pa·s].
    limit : float or array
        Crowding phi_m at which nothing moves any more [0 to 1].

    Returns
    -------
    float or array
        Plastic viscosity; infinite from the limit on [Pa·s].

    Examples
    --------
    >>> [round(float(plastic_viscosity(phi, 1.0, 0.64)), 3) for phi in (0.45, 0.5, 0.55, 0.64)]
    [11.346, 20.898, 50.568, inf]

    References
    ----------
    [maron-pierce-1956]
    """
    room = 1 - np.asarray(crowded) / limit
    flows = room > 0
    safe = np.where(flows, room, 1.0)
    return np.where(flows, liquid / (safe * safe), np.inf)[()]


def casson_yield(surface: Values, viscosity: Values, liquid: Values) -> Values:
    """Return the Casson yield of a suspension from its plastic viscosity.

    ``tau = tau_0 · (S/S_0) · (sqrt(eta/eta_f) - 1)`` with tau_0 2.0 Pa.

    Parameters
    ----------
    surface : float or array
        Surface over volume S [1/µm].
    viscosity : float or array
        Plastic viscosity eta [Pa·s].
    liquid : float or array
        Viscosity eta_f of the liquid fat [Pa·s].

    Returns
    -------
    float or array
        Yield [Pa].

    Notes
    -----
    tau_0 is the rounded mean over four published pairs. Emulsifiers, PGPR above all, break this link: a
    published series with them has a tenth to a half of the yield that this says.

    Examples
    --------
    >>> round(float(casson_yield(1.3636, 1.857, 0.045)), 2)
    13.56

    References
    ----------
    [casson-tables], [alamprese-2007], [wichchukit-2005]
    """
    p = parameters()
    return p.yield_scale * (surface / p.surface_reference) * (np.sqrt(viscosity / liquid) - 1)


def locked_share(fragment_um: Values, cell_um: Values) -> Values:
    """Return the share of its butter that one fragment of cocoa keeps in unbroken cells.

    ``b = (1 - d_c/d)³`` for fragments larger than d_c, else none: one layer of broken cells around it.

    Parameters
    ----------
    fragment_um : float or array
        Size d of the fragment [µm].
    cell_um : float or array
        Thickness d_c of the broken layer, about a cell [µm].

    Returns
    -------
    float or array
        Locked share [0 to 1].

    Notes
    -----
    A hypothesis.

    Examples
    --------
    >>> [round(float(locked_share(size, 25.0)), 4) for size in (25.0, 40.0, 60.0, 100.0, 500.0)]
    [0.0, 0.0527, 0.1985, 0.4219, 0.8574]
    """
    inside = np.maximum(0.0, 1 - np.divide(cell_um, fragment_um))
    return np.asarray(inside * inside * inside)[()]  # a third of the time of a power


def locked_in_mass(cocoa_um: Values, cell_um: Values) -> Values:
    """Return the share of the butter from nibs that stays locked in all fragments together.

    The mean of ``b`` over a log-normal of fragments with this D90: most fragments are far smaller than the
    largest, and only those still coarse hold butter back.

    Parameters
    ----------
    cocoa_um : float or array
        D90 of the cocoa; the size of the sugar does not matter [µm].
    cell_um : float or array
        Thickness d_c of the broken layer, about a cell [µm].

    Returns
    -------
    float or array
        Locked share [0 to 1].

    Notes
    -----
    A hypothesis on a hypothesis: the width of the log-normal is the usual one of stones and blades.

    Examples
    --------
    >>> [round(float(locked_in_mass(size, 25.0)), 3) for size in (20.0, 30.0, 60.0, 120.0, 300.0)]
    [0.004, 0.011, 0.052, 0.157, 0.401]

    References
    ----------
    [hatch-choate]
    """
    first, step, shares, slopes = _locked_by_ratio()
    # Linear between the points of an even table; a place in an uneven one takes five times as long to find.
    place = np.clip((np.log(np.divide(cocoa_um, cell_um)) - first) / step, 0, shares.size - 1)
    before = np.asarray(place).astype(np.intp)
    return np.asarray(shares[before] + (place - before) * slopes[before])[()]


@lru_cache(maxsize=1)
def _locked_by_ratio() -> tuple[float, float, Array, Array]:
    """The mean of b over ln(D90/d_c) as an even table: first point, step, values, and their differences."""
    logs = np.linspace(math.log(0.1), math.log(1000), _POINTS)
    deviation = parameters().log_deviation
    medians = logs - normal_quantile(90 / 100) * deviation
    shares = np.array([_mean_locked(median, deviation) for median in medians.tolist()])
    return float(logs[0]), float(logs[1] - logs[0]), shares, np.diff(shares, append=shares[-1])


def _mean_locked(median: float, deviation: float) -> float:
    """The mean of (1 - 1/x)³ over x above 1, log-normal: partial moments of x to the powers 0 to -3."""
    total = 0.0
    for power, factor in enumerate((1, -3, 3, -1)):
        above = normal_share((median - power * deviation**2) / deviation)
        total += factor * math.exp(-power * median + 0.5 * (power * deviation) ** 2) * above
    return min(max(total, 0.0), 1.0)
