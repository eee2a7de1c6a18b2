"""The reduction that a measured bean temperature counts for, with its range and what widens it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from nibsmith.science.errors import UnknownFigure
from nibsmith.science.numerics import (
    Array,
    Distribution,
    LogNormal,
    Triangle,
    alone,
    drawn,
    quantile,
    variance_shares,
    widest,
)
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve, Matter, Probe, coldest
from nibsmith.science.roast.deaths import death_times, from_the_charge, log_reduction, mean_rate
from nibsmith.science.tables import load

LETHALITY_DRAWS = 1000
_ALONE = 64
_MOST_PIECES = 200
_LOW, _HIGH = 5, 95  # percent of the draws
PROBE, TIMES = "how far the probe can be off", "the minutes for a tenfold reduction"


@dataclass(frozen=True, eq=False)
class Reduction:
    """Tenfold reductions counted [log10], with the range of the draws, and the curve they were counted from.

    ``counted`` is the coldest bean probe less its uncertainty, from where it met the beans [s, °C];
    ``before_s`` is the time before that, which does not count, and ``uncounted_s`` that lost to gaps [s].
    """

    value: float
    low: float
    high: float
    counted: Curve
    before_s: float
    uncounted_s: float
    widest: tuple[str, ...]


def reduction_with_range(probes: tuple[Probe, ...], matter: Matter = Matter.BEANS) -> Reduction:
    """Return the tenfold reductions of Salmonella that measured bean temperatures count for.

    Counted from the coldest probe at every time, each less its uncertainty, from where it met the beans. The
    range: readings off by up to that uncertainty either way, and times for a tenfold reduction off by the
    factor of their table.

    Parameters
    ----------
    probes : tuple of Probe
        Probes in the beans, each with its uncertainty [K].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    Reduction
        An estimate [log10] with its 5 to 95 % range.

    Raises
    ------
    UnknownFigure
        If no probe is in the beans, or the uncertainty of one is not told.

    Notes
    -----
    The counted value lies near the low end of the range, for the whole uncertainty is taken off. Other
    strains, wetter or drier beans and colder places in the roaster are not in the range.

    Examples
    --------
    >>> from nibsmith.science.roast.curves import Role
    >>> held = Curve(np.array([0.0, 3150.0]), np.array([122.0, 122.0]), 4000.0)
    >>> found = reduction_with_range((Probe("beans", Role.BEAN, held, uncertainty_k=2.0),))
    >>> round(found.value, 3), found.low < found.value < found.high
    (5.0, True)

    References
    ----------
    [yan-2021], [nascimento-2012]
    """
    if not probes:
        raise UnknownFigure("The reduction", ["a probe in the beans"])
    if untold := [probe.name for probe in probes if probe.uncertainty_k is None]:
        raise UnknownFigure("How far the probe can be off", untold)
    lowest = coldest(probes)
    counted = from_the_charge(lowest, matter)
    value = log_reduction(counted, matter)
    inputs = _inputs(probes)
    whole = np.diff(counted.times_s)
    thin = _thinned(counted)
    results = thin.reductions(matter, drawn(inputs, LETHALITY_DRAWS))
    # What thinning the log adds or takes is the same share for all draws.
    same = float(thin.reductions(matter, {PROBE: np.zeros(1), TIMES: np.ones(1)})[0])
    factor = value / same if same else 1.0
    low, high = (quantile(results, percent / 100) * factor for percent in (_LOW, _HIGH))
    singles = thin.reductions(matter, alone(inputs, _ALONE))
    return Reduction(
        value=value,
        low=min(low, value),
        high=max(high, value),
        counted=counted,
        before_s=counted.start_s - lowest.start_s,
        uncounted_s=float(whole[whole > counted.gap_s].sum()),
        widest=widest(variance_shares(singles, tuple(inputs))),
    )


def _inputs(probes: tuple[Probe, ...]) -> dict[str, Distribution]:
    """What varies, in kelvins above the counted curve, which has the uncertainty taken off already."""
    most = max(probe.uncertainty_k or 0.0 for probe in probes)
    return {
        PROBE: Triangle(0.0, most, 2 * most),
        TIMES: LogNormal(1.0, load("roast_deaths")["error_factor"].value),
    }


@dataclass(frozen=True, eq=False)
class _Pieces:
    """Straight pieces of a curve: their length [s], first and last temperature [°C]."""

    length: Array
    first: Array
    last: Array

    def reductions(self, matter: Matter, draws: Mapping[str, Array]) -> Array:
        """The reduction of each draw: the curve so much warmer, the times so many times longer."""
        warmer = draws[PROBE][:, None]
        rates = mean_rate(death_times(matter), self.first + warmer, self.last + warmer)
        return np.asarray(rates @ (self.length / SECONDS_A_MINUTE) / draws[TIMES])


def _thinned(curve: Curve) -> _Pieces:
    """The trusted pieces of a curve, neighbours taken together until there are few."""
    length, first, last = curve.steps()
    begins = np.unique(np.linspace(0, length.size, _MOST_PIECES, endpoint=False).astype(np.intp))
    if not length.size or begins.size == length.size:
        return _Pieces(length, first, last)
    ends = np.append(begins[1:], length.size) - 1
    return _Pieces(np.add.reduceat(length, begins), first[begins], last[ends])
