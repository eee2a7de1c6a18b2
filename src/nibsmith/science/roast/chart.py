"""What a chart of a roast shows, as plain numbers: curves, the rate below, words in the margin.

The rate of change has a strip of its own under the temperatures. Notes and milestones are words in the margin
at their time. Each probe goes by its full name. Another roast is never drawn behind: what differs is a strip
too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.compare import Comparison, first_time_at
from nibsmith.science.roast.curves import Curve, Probe, Roast, Role
from nibsmith.science.roast.deaths import from_the_charge
from nibsmith.science.roast.profile import Band
from nibsmith.science.roast.smoothing import Smoothed, smooth

if TYPE_CHECKING:
    from nibsmith.science.roast.bean_core import BeanCore  # a roast is drawn without the inside of a bean too

MOST_POINTS_DRAWN = 600
_MARKS = (100, 120)


@dataclass(frozen=True, eq=False)
class Line:
    """One line: its name, what it is, its times [s] and values [°C, K/min or K], cut at gaps."""

    name: str
    role: str
    pieces: tuple[tuple[Array, Array], ...]


@dataclass(frozen=True, eq=False)
class Area:
    """A band between two courses: its name, times [s], lower and upper edge [°C]."""

    name: str
    times_s: Array
    low: Array
    high: Array


@dataclass(frozen=True)
class Milestone:
    """Words for the margin at a time [s], and the temperature they belong to [°C], if any."""

    time_s: float
    words: str
    celsius: float | None = None


@dataclass(frozen=True, eq=False)
class RoastChart:
    """Everything that a picture of a roast shows.

    ``ends_s`` and ``ends_celsius`` are the ends of the axes [s, °C]; ``rates`` the strip below, ``ends_rate``
    its ends [K/min].
    """

    ends_s: tuple[float, float]
    ends_celsius: tuple[float, float]
    lines: tuple[Line, ...]
    areas: tuple[Area, ...]
    rates: tuple[Line, ...]
    ends_rate: tuple[float, float]
    milestones: tuple[Milestone, ...]


def roast_chart(
    roast: Roast,
    core: BeanCore | None = None,
    band: Band | None = None,
    beans: Curve | None = None,
    most: int = MOST_POINTS_DRAWN,
) -> RoastChart:
    """Return what a chart of a roast shows.

    Parameters
    ----------
    roast : Roast
        Its probes and notes [s, °C].
    core : BeanCore, optional
        The inside of the beans as worked out; drawn as a band with its middle [°C].
    band : Band, optional
        A wanted course with its tolerance [°C].
    beans : Curve, optional
        The part of the first bean probe that is beans, for the words in the margin [s, °C]; usual: all of it.
    most : int
        The most points of one line; peaks and dips stay.

    Returns
    -------
    RoastChart
        Lines, bands and words [s, °C, K/min].

    Examples
    --------
    >>> from nibsmith.science.roast.typed import typed_roast
    >>> chart = roast_chart(typed_roast("0 min 24 °C; 10 min 105; 20 min 121; 25 min 124"))
    >>> [line.name for line in chart.lines], [milestone.words for milestone in chart.milestones]
    (['readings by hand'], ['beans pass 100 °C', 'beans pass 120 °C', 'hottest 124 °C'])

    References
    ----------
    [bench-judgement]
    """
    if not roast.probes:
        raise InputError("A roast without a probe has no chart")
    smoothed = {probe.name: smooth(probe.curve) for probe in roast.probes if probe.role is not Role.SETTING}
    lines = (*(_line(probe, smoothed.get(probe.name), most) for probe in roast.probes), *_core_lines(core))
    areas = (*_band_areas(band), *_core_areas(core))
    rates = tuple(_rates(roast, smoothed, most))
    return RoastChart(
        ends_s=(roast.start_s, roast.end_s),
        ends_celsius=_ends([*lines, *_edges(areas)], (0.0, 1.0)),
        lines=lines,
        areas=areas,
        rates=rates,
        ends_rate=_ends(rates, (0.0, 1.0)),
        milestones=_milestones(roast, beans),
    )


def difference_strip(comparison: Comparison, most: int = MOST_POINTS_DRAWN) -> Line | None:
    """Return how much warmer the second of two roasts was, as a strip of its own.

    Parameters
    ----------
    comparison : Comparison
        Two roasts compared.
    most : int
        The most points.

    Returns
    -------
    Line or None
        Over the time they share [s, K]; ``None`` where they share none.

    Examples
    --------
    >>> from nibsmith.science.roast.compare import compare_roasts
    >>> one = Curve(np.array([0.0, 600.0]), np.array([20.0, 120.0]), 900.0)
    >>> difference_strip(compare_roasts(one, one.shifted(2.0))).pieces[0][1].tolist()
    [2.0, 2.0]

    References
    ----------
    [bench-judgement]
    """
    if comparison.apart is None:
        return None
    apart = comparison.apart
    return Line("warmer than the first roast", "difference", _pieces(apart, apart.celsius, most))


def _line(probe: Probe, smoothed: Smoothed | None, most: int) -> Line:
    curve = probe.curve
    values = curve.celsius if smoothed is None else smoothed.celsius
    return Line(probe.name, probe.role.value, _pieces(curve, values, most))


def _pieces(curve: Curve, values: Array, most: int) -> tuple[tuple[Array, Array], ...]:
    """Cut a line at its gaps and at values that are no number, and thin each piece."""
    cuts = np.flatnonzero(np.diff(curve.times_s) > curve.gap_s) + 1
    found = []
    for rows in np.split(np.arange(curve.times_s.size), cuts):
        known = rows[np.isfinite(values[rows])]
        if known.size:
            kept = known[thinned(values[known], max(most * known.size // curve.times_s.size, 2))]
            found.append((curve.times_s[kept], values[kept]))
    return tuple(found)


def thinned(values: Array, most: int) -> NDArray[np.intp]:
    """Return the places of about so many values that keep every peak and dip: both ends of each stretch.

    Parameters
    ----------
    values : array
        Values of a line [any unit].
    most : int
        How many places at most; two more for the ends.

    Returns
    -------
    array
        Rising places, the first and the last among them [1].

    Examples
    --------
    >>> thinned(np.array([0.0, 1.0, 5.0, 1.0, 0.0, 1.0, -4.0, 1.0]), 4).tolist()
    [0, 2, 5, 6, 7]

    References
    ----------
    [bench-judgement]
    """
    if values.size <= most:
        return np.arange(values.size)
    stretches = np.array_split(np.arange(values.size), max(most // 2, 1))
    kept = [rows[[values[rows].argmin(), values[rows].argmax()]] for rows in stretches]
    return np.unique(np.concatenate(([0], *kept, [values.size - 1])))


def _rates(roast: Roast, smoothed: dict[str, Smoothed], most: int) -> Iterator[Line]:
    for probe in roast.probes:
        found = smoothed.get(probe.name)
        if found is not None and np.isfinite(found.rate_k_min).any():
            yield Line(probe.name, probe.role.value, _pieces(probe.curve, found.rate_k_min, most))


def _core_lines(core: BeanCore | None) -> Iterator[Line]:
    if core is not None:
        yield Line("inside the beans, worked out", "core", ((core.times_s, core.core),))


def _core_areas(core: BeanCore | None) -> Iterator[Area]:
    if core is not None:
        yield Area("inside the beans, range", core.times_s, core.core_low, core.core_high)


def _band_areas(band: Band | None) -> Iterator[Area]:
    if band is not None:
        wanted = band.wanted
        low, high = wanted.celsius - band.tolerance_k, wanted.celsius + band.tolerance_k
        yield Area("wanted course", wanted.times_s, low, high)


def _edges(areas: tuple[Area, ...]) -> Iterator[Line]:
    for area in areas:
        yield Line(area.name, "edge", ((area.times_s, area.low), (area.times_s, area.high)))


def _ends(lines: tuple[Line, ...] | list[Line], usual: tuple[float, float]) -> tuple[float, float]:
    values = [values for line in lines for _, values in line.pieces]
    return (min(float(v.min()) for v in values), max(float(v.max()) for v in values)) if values else usual


def _milestones(roast: Roast, beans: Curve | None) -> tuple[Milestone, ...]:
    """Words for the margin: the notes, and where the beans passed a round temperature or were hottest."""
    found = [Milestone(note.time_s, note.words) for note in roast.notes]
    for probe in roast.of(Role.BEAN)[:1]:
        found += _of_beans(probe.curve if beans is None else beans)
    return tuple(sorted(found, key=lambda milestone: milestone.time_s))


def _of_beans(curve: Curve) -> Iterator[Milestone]:
    """From the dip on, where a hot probe met cold beans; from the start where there was none."""
    rising = from_the_charge(curve)
    if rising is not curve:
        lowest = float(rising.celsius[0])
        yield Milestone(rising.start_s, f"coolest {lowest:.0f} °C", lowest)
    for mark in _MARKS:
        passed = first_time_at(rising, float(mark))
        if passed is not None and passed > rising.start_s:
            yield Milestone(passed, f"beans pass {mark} °C", float(mark))
    when, hottest = rising.hottest
    yield Milestone(when, f"hottest {hottest:.0f} °C", hottest)
