"""The flow curve of a mass against what its use bears."""

from __future__ import annotations

from nibsmith.answers.pour import FlowCurve
from nibsmith.paper.chart import Axis, Band, Chart, Dots, Ink, Line, Strip


def flow_chart(curve: FlowCurve, of: str, decimal_sign: str = ".") -> Chart:
    """Return the stress of a mass over the rate of shear, with the range of the estimate.

    Parameters
    ----------
    curve : FlowCurve
        From ``flow_curve``.
    of : str
        What it is the flow of.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One strip.
    """
    rates, middle = curve.rates.tolist(), curve.stress.tolist()
    low, high = curve.low.tolist(), curve.high.tolist()
    limits = curve.limit_stress.tolist()
    tallest = max([*limits, *(value for value in middle if value < float("inf"))])
    layers = (
        Band("four in five estimates", rates, low, [min(value, 2 * tallest) for value in high]),
        Line("estimate", rates, middle),
        Dots("most that suits the use", curve.limit_rates.tolist(), limits, Ink.SECOND),
    )
    says = (
        f"The estimate rises from {middle[0]:.0f} Pa at {rates[0]:.0f} 1/s to {middle[-1]:.0f} Pa at "
        f"{rates[-1]:.0f} 1/s. The use bears {limits[0]:.0f} Pa at 5 1/s and {limits[1]:.0f} Pa at 40 1/s."
    )
    axis, strip = Axis("rate of shear, 1/s", low=0), Strip("Stress, Pa", layers, low=0)
    return Chart(f"Flow of {of}", says, axis, (strip,), decimal_sign=decimal_sign)
