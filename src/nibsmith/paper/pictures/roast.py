"""A roast: temperatures, their rate of change in a strip of its own, milestones as words in the margin."""

from __future__ import annotations

from dataclasses import replace

from nibsmith.paper.chart import Axis, Band, Chart, Count, Ink, Layer, Line, Milestone, Rule, Strip
from nibsmith.science.roast import Line as RoastLine
from nibsmith.science.roast import RoastChart

MINUTE = 60
FASTEST = 30  # K a minute: a probe that is put in jumps faster, and would flatten the roast itself
_INKS = {"bean": Ink.MAIN, "air": Ink.SECOND, "setting": Ink.FAINT, "core": Ink.THIRD}


def roast_picture(chart: RoastChart, decimal_sign: str = ".") -> Chart:
    """Return the picture of a roast.

    Parameters
    ----------
    chart : RoastChart
        From ``chart_of``.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One or two strips over minutes.
    """
    bands = tuple(
        Band(area.name, _minutes(area.times_s), area.low.tolist(), area.high.tolist(), Ink.THIRD)
        for area in chart.areas
    )
    warm: tuple[Layer, ...] = (*bands, *_lines(chart.lines))
    strips = [Strip("Temperature, °C", warm, tall=3)]
    if chart.rates:
        low, high = (min(max(end, -FASTEST), FASTEST) for end in chart.ends_rate)
        named = len(chart.rates) > 1
        lines = (line if named else replace(line, name="") for line in _lines(chart.rates))
        rates: tuple[Layer, ...] = (Rule(0, ""), *lines)
        strips.append(Strip("Rate of change, K a minute", rates, low=low, high=max(high, low + 1), tall=1))
    stones = tuple(Milestone(one.time_s / MINUTE, one.words) for one in chart.milestones)
    ends = [end / MINUTE for end in chart.ends_s]
    axis = Axis("minutes", low=ends[0], high=ends[1], count=Count.MINUTES)
    return Chart("The roast", _says(chart), axis, tuple(strips), stones, decimal_sign)


def _lines(lines: tuple[RoastLine, ...]) -> tuple[Line, ...]:
    """Draw each probe by its full name; gaps stay gaps, a second probe of a kind has another dash."""
    found, used = [], set()
    for line in lines:
        ink = _INKS.get(line.role, Ink.FOURTH)
        if ink in used:
            ink = next((other for other in Ink if other not in used), Ink.FAINT)
        used.add(ink)
        xs: list[float | None] = []
        ys: list[float | None] = []
        for times, values in line.pieces:
            xs += [*(time / MINUTE for time in times.tolist()), None]
            ys += [*values.tolist(), None]
        found.append(Line(line.name, xs, ys, ink))
    return tuple(found)


def _minutes(times: object) -> list[float]:
    return [float(time) / MINUTE for time in times]  # type: ignore[attr-defined]


def _says(chart: RoastChart) -> str:
    low, high = chart.ends_celsius
    minutes = (chart.ends_s[1] - chart.ends_s[0]) / MINUTE
    names = ", ".join(line.name for line in chart.lines)
    stones = "; ".join(f"{one.words} after {one.time_s / MINUTE:.0f} min" for one in chart.milestones)
    text = f"{minutes:.0f} minutes, from {low:.0f} to {high:.0f} °C: {names}."
    return f"{text} In the margin: {stones}." if stones else text
