"""The constants of the flow model, read once from their table."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from nibsmith.science.mixture import Span
from nibsmith.science.numerics import normal_quantile
from nibsmith.science.tables import Constant, load


@dataclass(frozen=True, slots=True)
class Parameters:
    """Densities [kg/m³], shares [0 to 1], sizes [µm], viscosity [Pa·s], stress [Pa], rates [1/s].

    ``log_deviation`` is the width of a log-normal whose D[3,2] over D90 is the wide one [1].
    """

    rate_low: float
    rate_high: float
    density_liquid_butter: float
    density_solid_butter: float
    lecithin_as_fat: float
    lecithin_most: float
    water_free: float
    water_for_fat: float
    crowding_limit: float
    surface_crowding: float
    surface_reference: float
    fat_viscosity: float
    fat_viscosity_at_k: float
    activation_k: float
    yield_scale: float
    sauter_share_wide: float
    cell_size: float
    milk_fat_free: float
    log_deviation: float


@lru_cache(maxsize=1)
def parameters() -> Parameters:
    """Return the constants of the flow model, from their table.

    Returns
    -------
    constants : Parameters
        Each with its source and status in the table of flow [units in the class].

    Examples
    --------
    >>> parameters().rate_low, parameters().rate_high
    (5.0, 40.0)

    References
    ----------
    [maron-pierce-1956], [mcgee-2004], [moisture-trade], [chocolate-constants]
    """
    table = load("flow")
    same = {name: table[name].value for name in Parameters.__dataclass_fields__ if name in table}
    sauter_um = table["sauter_share_wide"].value * table["reference_size"].value
    tail = normal_quantile(90 / 100)
    return Parameters(
        **same,
        log_deviation=-tail + math.sqrt(tail**2 - 2 * math.log(table["sauter_share_wide"].value)),
        surface_reference=6 / sauter_um,
        fat_viscosity_at_k=table["fat_viscosity_at"].value + load("units")["celsius_zero"].value,
        activation_k=table["fat_viscosity_activation"].value / load("temper")["gas_constant"].value,
    )


def span_of(key: str) -> Span:
    """Return a constant of the table of flow with its ends.

    Parameters
    ----------
    key : str
        A key of the table.

    Returns
    -------
    Span
        Its low end, value and high end in the table's unit; of no width where no ends are given [any unit].

    Raises
    ------
    KeyError
        If the table holds no such key.

    Examples
    --------
    >>> fat = span_of("fat_range")
    >>> fat.low, fat.high
    (0.25, 0.42)
    """
    return _span(load("flow")[key])


def _span(row: Constant) -> Span:
    low = row.value if row.low is None else row.low
    high = row.value if row.high is None else row.high
    return Span(low, row.value, high)


def log_factor(key: str) -> float:
    """Return the standard deviation of a logarithm, from a factor of the table of flow.

    ``s = ln(factor)``: two in three lie within the factor and its inverse.

    Parameters
    ----------
    key : str
        A key of the table whose value is a factor.

    Returns
    -------
    float
        Standard deviation of the natural logarithm [1].

    Raises
    ------
    KeyError
        If the table holds no such key.

    Examples
    --------
    >>> round(log_factor("prior_factor"), 3)
    0.693
    """
    return math.log(load("flow")[key].value)
