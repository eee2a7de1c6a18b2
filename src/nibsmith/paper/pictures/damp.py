"""How damp the air of a room is to colder and warmer bars."""

from __future__ import annotations

from nibsmith.answers.tools.damp import DampAsked, damp_of
from nibsmith.paper.chart import Axis, Chart, Line, Mark, Rule, Strip

WET = 100


def damp_chart(asked: DampAsked, decimal_sign: str = ".") -> Chart:
    """Return the humidity at a bar's face over the temperature of the bar.

    Parameters
    ----------
    asked : DampAsked
        Bar and room.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One strip.
    """
    found = damp_of(asked)
    low = int(min(asked.bar_celsius, found.dew_celsius, 4)) - 1
    high = int(max(asked.bar_celsius, asked.room_celsius)) + 1
    bars = [low + step / 4 for step in range(4 * (high - low) + 1)]
    faces = [
        damp_of(DampAsked(bar, asked.room_celsius, asked.humidity_percent, asked.milk)).at_face
        for bar in bars
    ]
    at_bar = min(found.at_face, float(WET))
    layers = (
        Line("at the face", bars, [min(face, float(WET)) for face in faces]),
        Rule(WET, "water settles"),
        Rule(found.limit, "takes up water"),
        Mark(asked.bar_celsius, at_bar, "this bar"),
    )
    says = (
        f"The colder the bar, the damper the air at its face: {at_bar:.0f} % at {asked.bar_celsius:g} °C. "
        f"Under {found.limit:.0f} % from {found.safe_celsius:.1f} °C on; water settles below "
        f"{found.dew_celsius:.1f} °C."
    )
    strip = Strip("Humidity at the face, %", layers, high=WET)
    return Chart("Bars in this room", says, Axis("bar, °C"), (strip,), decimal_sign=decimal_sign)
