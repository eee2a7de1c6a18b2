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
        One strip, with a word where it is cut at twice the tallest of estimate and limits.
    """
    rates, middle = curve.rates.tolist(), curve.stress.tolist()
    low, high = curve.low.tolist(), curve.high.tolist()
    limits = curve.limit_stress.tolist()
    most = 2 * max([*limits, *(value for value in middle if value < float("inf"))])
    cut = max(high) > most
    layers = (
        Band("four in five estimates, cut at the top" if cut else "four in five estimates", rates, low, high),
        Line("estimate", rates, middle),
        Dots("most that suits the use", curve.limit_rates.tolist(), limits, Ink.SECOND),
    )
    says = (
        f"The estimate rises from {middle[0]:.0f} Pa at {rates[0]:.0f} 1/s to {middle[-1]:.0f} Pa at "
        f"{rates[-1]:.0f} 1/s. The use bears {limits[0]:.0f} Pa at 5 1/s and {limits[1]:.0f} Pa at 40 1/s."
    )
    if cut:
        says += f" The range goes on above the picture, to {_end(max(high))}."
    axis = Axis("rate of shear, 1/s", low=0)
    strip = Strip("Stress, Pa", layers, low=0, high=most if cut else None)
    return Chart(f"Flow of {of}", says, axis, (strip,), decimal_sign=decimal_sign)


def _end(stress: float) -> str:
    return "no end: the mass may not flow" if stress == float("inf") else f"{stress:.0f} Pa"
