"""How far heat reduces Salmonella on cocoa, from tabulated times and never beyond them. An estimate alone.

The sum ``R = ∫ dt / D(T(t))`` is exact for readings joined by straight lines: with ``G(T)`` the integral of
``1/D`` over temperature, a piece from T1 to T2 of length t adds ``t (G(T2) - G(T1)) / (T2 - T1)``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve, Matter
from nibsmith.science.tables import Constant, load

# A piece that rises less than this many kelvin is taken as level at its middle: the error is below 1e-11 of
# it.
LEVEL_STEP = 1e-5


@dataclass(frozen=True, eq=False)
class DeathTimes:
    """Minutes for a tenfold reduction at some temperatures, straight in log10 between them.

    Below the first temperature nothing is counted; above the last its own minutes hold. ``rows`` are the
    constants of the table.
    """

    celsius: Array
    minutes: Array
    rows: tuple[Constant, ...]

    @property
    def lowest(self) -> float:
        """The temperature below which nothing is counted [°C]."""
        return float(self.celsius[0])

    @property
    def highest(self) -> float:
        """The temperature above which nothing more is counted [°C]."""
        return float(self.celsius[-1])

    def rate(self, celsius: Array) -> Array:
        """Return how many tenfold reductions a minute brings [1/min]."""
        logs = np.interp(celsius, self.celsius, np.log(self.minutes))
        return np.where(celsius < self.lowest, 0.0, np.exp(-logs))

    def summed(self, celsius: Array) -> Array:
        """Return the integral of the rate over temperature, from the lowest on [K/min]."""
        slopes = np.diff(np.log(self.minutes)) / np.diff(self.celsius)
        rates = 1 / self.minutes
        # The integral of exp(-slope T) over each stretch, and its sums up to each point of the table.
        stretches = np.diff(rates) / -slopes
        whole = np.concatenate(([0.0], np.cumsum(stretches)))
        inside = np.clip(celsius, self.lowest, self.highest)
        place = np.clip(np.searchsorted(self.celsius, inside, side="right") - 1, 0, slopes.size - 1)
        part = np.expm1(-slopes[place] * (inside - self.celsius[place])) * rates[place] / -slopes[place]
        return np.asarray(whole[place] + part + np.maximum(celsius - self.highest, 0.0) * rates[-1])


@lru_cache(maxsize=2)
def death_times(matter: Matter) -> DeathTimes:
    """Return the table for beans or nibs.

    Parameters
    ----------
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    DeathTimes
        Minutes for a tenfold reduction by temperature [°C, min].

    Notes
    -----
    Nibs: the times of beans by the ratio that another study found at 110, 120, 130 and 140 °C; below 110 °C
    no ratio is known and nothing is counted.

    Examples
    --------
    >>> death_times(Matter.NIBS).minutes.round(1).tolist()
    [33.4, 23.1, 6.3, 1.9]

    References
    ----------
    [yan-2021], [nascimento-2012]
    """
    table = load("roast_deaths")
    times = {int(key.removeprefix("d_")): row for key, row in table.items() if key.startswith("d_")}
    if matter is Matter.BEANS:
        return _table({celsius: row.value for celsius, row in times.items()}, tuple(times.values()))
    ratios = {int(key.removeprefix("nib_")): row for key, row in table.items() if key.startswith("nib_")}
    minutes = {celsius: row.value * times[celsius].value for celsius, row in ratios.items()}
    return _table(minutes, (*(times[celsius] for celsius in ratios), *ratios.values()))


def _table(minutes: dict[int, float], rows: tuple[Constant, ...]) -> DeathTimes:
    at = sorted(minutes)
    return DeathTimes(np.array(at, dtype=np.float64), np.array([minutes[celsius] for celsius in at]), rows)


def death_time(celsius: float, matter: Matter = Matter.BEANS) -> float:
    """Return the minutes for a tenfold reduction of Salmonella on cocoa at a temperature.

    ``log10 D`` is straight between the tabulated points.

    Parameters
    ----------
    celsius : float
        Temperature of the coldest bean [°C].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    float
        D [min]; infinite below the table, the last of the table above it.

    Notes
    -----
    The table was measured by roasting temperature. Held against the temperature of the beans it asks for more
    heat than the study did.

    Examples
    --------
    >>> round(death_time(125.0), 3), death_time(99.9), round(death_time(160.0), 3)
    (6.641, inf, 1.9)

    References
    ----------
    [yan-2021], [nascimento-2012]
    """
    rate = float(death_times(matter).rate(np.array([celsius]))[0])
    return 1 / rate if rate else math.inf


def from_the_charge(curve: Curve, matter: Matter = Matter.BEANS) -> Curve:
    """Return the part of a bean probe's curve that can be beans: from where it met them.

    A probe that waits in a hot roaster begins hotter than beans can be and falls to them when they come in.
    Where the first reading lies a dip above the coolest one before the last at which heat counts, the part
    before that coolest reading is left out.

    Parameters
    ----------
    curve : Curve
        Readings of a probe in the beans [s, °C].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    Curve
        The same, or its part from the coolest reading on [s, °C].

    Examples
    --------
    >>> drum = Curve(np.array([0.0, 60.0, 120.0, 900.0]), np.array([150.0, 150.0, 90.0, 125.0]), 900.0)
    >>> from_the_charge(drum).celsius.tolist()
    [90.0, 125.0]

    References
    ----------
    [bench-judgement]
    """
    counting = np.flatnonzero(curve.celsius >= death_times(matter).lowest)
    if not counting.size:
        return curve
    coolest = int(curve.celsius[: counting[-1] + 1].argmin())
    dip = curve.celsius[0] - curve.celsius[coolest] > load("roast")["charge_dip"].value
    return Curve(curve.times_s[coolest:], curve.celsius[coolest:], curve.gap_s) if dip else curve


def log_reduction(curve: Curve, matter: Matter = Matter.BEANS) -> float:
    """Return the tenfold reductions of Salmonella that the table gives for a measured bean temperature.

    ``R = ∫ dt / D(T(t))``, exact for straight lines between readings.

    Parameters
    ----------
    curve : Curve
        Measured temperature of the coldest beans, less the probe's uncertainty [s, °C].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    float
        R [log10]; an estimate. It decides nothing about a process.

    Notes
    -----
    Range: the table, 100 to 140 °C for beans and 110 to 140 °C for nibs; colder counts nothing, hotter counts
    as 140 °C. Nothing is counted over a pause longer than the curve's trusted one. Survivors die slower as
    time goes on, so a long roast kills less than R says.

    Examples
    --------
    >>> held = Curve(np.array([0.0, 1260.0]), np.array([120.0, 120.0]), 1300.0)
    >>> round(log_reduction(held), 12)
    2.0

    References
    ----------
    [yan-2021], [nascimento-2012]
    """
    return float(_counted(curve, death_times(matter)).sum())


def mean_rate(table: DeathTimes, first: Array, last: Array) -> Array:
    """Return the mean rate over straight pieces: its integral over the rise, the rate itself where level.

    Parameters
    ----------
    table : DeathTimes
        Minutes for a tenfold reduction by temperature.
    first, last : array
        Temperature at the ends of each piece [°C].

    Returns
    -------
    array
        One for each piece; nothing below the coldest of the table [1/min].

    Examples
    --------
    >>> mean_rate(death_times(Matter.BEANS), np.array([120.0, 90.0]), np.array([120.0, 95.0])).round(4)
    array([0.0952, 0.    ])
    """
    rise = last - first
    level = np.abs(rise) < LEVEL_STEP
    sloped = (table.summed(last) - table.summed(first)) / np.where(level, 1.0, rise)
    return np.where(level, table.rate((first + last) / 2), sloped)


def reductions(curve: Curve, matter: Matter = Matter.BEANS) -> Array:
    """Return the reduction counted up to each reading of a curve.

    Parameters
    ----------
    curve : Curve
        Measured temperature of the coldest beans, less the probe's uncertainty [s, °C].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    array
        Rising from zero; the last is ``log_reduction`` [log10].

    Examples
    --------
    >>> held = Curve(np.array([0.0, 630.0, 1260.0]), np.array([120.0, 120.0, 120.0]), 1300.0)
    >>> reductions(held).round(9).tolist()
    [0.0, 1.0, 2.0]

    References
    ----------
    [yan-2021], [nascimento-2012]
    """
    return np.concatenate(([0.0], np.cumsum(_counted(curve, death_times(matter)))))


def _counted(curve: Curve, table: DeathTimes) -> Array:
    """What each straight piece adds; nothing over a gap."""
    length, rise = np.diff(curve.times_s), np.diff(curve.celsius)
    level = np.abs(rise) < LEVEL_STEP
    rates = np.divide(np.diff(table.summed(curve.celsius)), rise, out=np.zeros_like(rise), where=~level)
    if level.any():
        rates[level] = table.rate((curve.celsius[:-1] + curve.celsius[1:])[level] / 2)
    return np.where(length <= curve.gap_s, _minutes(length) * rates, 0.0)


def _minutes(seconds: Array) -> Array:
    return seconds / SECONDS_A_MINUTE


@dataclass(frozen=True, slots=True)
class Weibull:
    """Your own parameters of a curved survivor line, with where they hold.

    ``delta_min`` is the time of the first tenfold reduction at ``at_celsius`` [min, °C], ``shape`` the power
    [1], ``z_k`` the kelvins that make it ten times shorter [K]. Below ``low_celsius`` nothing is counted,
    above ``high_celsius`` the time of that temperature holds [°C]. ``source`` names the study.
    """

    delta_min: float
    at_celsius: float
    shape: float
    z_k: float
    low_celsius: float
    high_celsius: float
    source: str = ""

    def __post_init__(self) -> None:
        if not (self.delta_min > 0 and self.shape > 0 and self.z_k > 0):
            raise InputError("Time, shape and z of a survivor line are above zero")
        if not self.low_celsius <= self.at_celsius <= self.high_celsius:
            raise InputError(
                "The temperature of the first reduction lies where the parameters hold",
                value=f"{self.at_celsius:g} °C",
                limit=f"{self.low_celsius:g} to {self.high_celsius:g} °C",
            )
        if not self.low_celsius < self.high_celsius:
            raise InputError("The parameters hold over a range of temperature", value=self.low_celsius)

    def times(self) -> DeathTimes:
        """Return the table that the times of the first reduction make."""
        ends = np.array([self.low_celsius, self.high_celsius])
        return DeathTimes(ends, self.delta_min * 10.0 ** ((self.at_celsius - ends) / self.z_k), ())


def weibull_reduction(curve: Curve, weibull: Weibull) -> float:
    """Return the tenfold reductions of a curved survivor line with the maker's own parameters.

    ``R = (∫ dt / δ(T))^β`` with ``δ(T) = δ · 10^((T0 - T)/z)``.

    Parameters
    ----------
    curve : Curve
        Measured temperature of the coldest beans, less the probe's uncertainty [s, °C].
    weibull : Weibull
        The parameters and where they hold.

    Returns
    -------
    float
        R [log10]; an estimate.

    Notes
    -----
    At one temperature it is the Weibull line itself; while the temperature changes, the time is counted in
    multiples of δ. With a shape below 1 survivors die slower as time goes on.

    Examples
    --------
    >>> own = Weibull(10.0, 120.0, 0.8, 30.0, 100.0, 140.0)
    >>> held = Curve(np.array([0.0, 4486.0]), np.array([120.0, 120.0]), 5000.0)
    >>> round(weibull_reduction(held, own), 3)
    5.0

    References
    ----------
    [weibull-mafart-2002]
    """
    return float(_counted(curve, weibull.times()).sum() ** weibull.shape)


def thermal_time(curve: Curve, reference_celsius: float, z_k: float) -> float:
    """Return the minutes at a reference temperature that do what a curve did.

    ``F = ∫ 10^((T - T0)/z) dt``; a straight piece adds ``t z / (ln 10 · (T2 - T1)) · (L2 - L1)``.

    Parameters
    ----------
    curve : Curve
        Temperature over time [s, °C].
    reference_celsius : float
        Reference temperature T0 [°C].
    z_k : float
        Kelvins z that make the heat ten times as quick [K].

    Returns
    -------
    float
        F [min], exact for straight lines between readings.

    Raises
    ------
    InputError
        If z is not above zero.

    Notes
    -----
    Only for textbook cases and for tables that give a z with its range: it goes on below and above every
    range.

    Examples
    --------
    >>> held = Curve(np.array([0.0, 600.0]), np.array([121.1, 121.1]), 900.0)
    >>> round(thermal_time(held, 121.1, 10.0), 9)
    10.0

    References
    ----------
    [geankoplis-9]
    """
    if not z_k > 0:
        raise InputError("z is above zero", value=z_k)
    length, first, last = curve.steps()
    one, two = ((each - reference_celsius) * math.log(10) / z_k for each in (first, last))
    apart = two - one
    level = np.abs(apart) < LEVEL_STEP
    sloped = np.exp(one) * np.expm1(apart) / np.where(level, 1.0, apart)
    return float(_minutes(length) @ np.where(level, np.exp((one + two) / 2), sloped))
