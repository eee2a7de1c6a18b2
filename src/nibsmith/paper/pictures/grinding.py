"""How the largest grains get smaller, and grain sizes by volume."""

from __future__ import annotations

from nibsmith.answers.smooth import GrindCurve
from nibsmith.answers.smooth_ready import hours_figure, hours_words
from nibsmith.answers.wording import NO_BREAK
from nibsmith.paper.chart import Axis, Band, Chart, Count, Dots, Layer, Line, Mark, Rule, Strip

TALLEST = 4  # times the aim: above it the first hours would flatten everything else


def grinding_chart(curve: GrindCurve, reach_um: float, decimal_sign: str = ".") -> Chart:
    """Return a grinding with its readings, the range of the forecast, and when it is ready.

    Parameters
    ----------
    curve : GrindCurve
        From ``grind_curve``.
    reach_um : float
        How far a reading may be off either way [µm].
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One strip over hours since the last coarse addition.
    """
    hours = curve.hours.tolist()
    read = curve.reading_um.tolist()
    layers: list[Layer] = [
        Band("four in five", hours, curve.low.tolist(), curve.high.tolist()),
        Line("forecast", hours, curve.middle.tolist()),
        Rule(curve.target_um, "aim"),
    ]
    if read:
        layers.append(Dots("readings, one by one", curve.reading_hours.tolist(), read, reach=reach_um))
    ready = curve.ready
    if ready is not None and 0 < ready.value <= hours[-1]:
        words = f"ready at {hours_figure(ready.value)} h".replace(".", decimal_sign)
        layers.append(Mark(ready.value, curve.target_um, words))
    high = min(float(curve.high.max()), max([TALLEST * curve.target_um, *(size + reach_um for size in read)]))
    strip = Strip("Largest grains, µm", tuple(layers), low=0, high=high)
    axis = Axis("hours since the last coarse addition", low=0, count=Count.HOURS)
    return Chart("How the grains get smaller", _says(curve), axis, (strip,), decimal_sign=decimal_sign)


def _says(curve: GrindCurve) -> str:
    start, end = float(curve.middle[0]), float(curve.middle[-1])
    words = f"The forecast falls from {start:.0f} µm to {end:.0f} µm in {curve.hours[-1]:.0f} hours."
    if curve.ready is None:
        return f"{words} The aim of {curve.target_um:.0f} µm is not reached."
    if not curve.ready.high:
        return f"{words} It is finer than the aim of {curve.target_um:.0f} µm all along."
    after = hours_words(curve.ready).replace(NO_BREAK, " ")
    return f"{words} The aim of {curve.target_um:.0f} µm is reached after {after}."
