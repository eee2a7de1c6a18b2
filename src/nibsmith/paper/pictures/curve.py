"""A cooling curve with its reading marked."""

from __future__ import annotations

from nibsmith.answers.curve import CurvePicture
from nibsmith.paper.chart import Axis, Chart, Count, Ink, Line, Mark, Rule, Strip


def curve_chart(curve: CurvePicture, decimal_sign: str = ".") -> Chart:
    """Return a cooling curve with inflection and slope, the slope itself in a strip below.

    Parameters
    ----------
    curve : CurvePicture
        From ``curve_picture``.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        Two strips over minutes.
    """
    minutes = curve.minutes.tolist()
    course: list[Line | Mark | Rule] = [Line("in the cup", minutes, curve.celsius.tolist())]
    course.append(Rule(curve.coolant_celsius, "cold body"))
    slopes: list[Line | Mark | Rule] = [Line("", minutes, curve.slopes.tolist()), Rule(0, "")]
    if curve.tangent is not None and curve.inflection is not None:
        times, values = zip(*curve.tangent, strict=True)
        course += [Line("", times, values, Ink.SECOND), Mark(*curve.inflection, "inflection")]
        slope = (values[1] - values[0]) / (times[1] - times[0])
        slopes.append(
            Mark(
                curve.inflection[0], slope, f"{slope:+.2f}".replace("-", "\u2212").replace(".", decimal_sign)
            )
        )
    strips = (
        Strip("Temperature, °C", tuple(course)),
        Strip("Slope, K a minute", tuple(slopes), tall=1),
    )
    axis = Axis("minutes", count=Count.MINUTES)
    return Chart("The cooling curve", _says(curve), axis, strips, decimal_sign=decimal_sign)


def _says(curve: CurvePicture) -> str:
    text = f"It cools from {float(curve.celsius[0]):.1f} to {float(curve.celsius[-1]):.1f} °C"
    if curve.inflection is None:
        return f"{text} and nothing holds it up."
    when, celsius = curve.inflection
    return f"{text}; the inflection is at {celsius:.1f} °C after {when:.1f} minutes."
