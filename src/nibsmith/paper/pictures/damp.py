"""How damp the air of a room is to colder and warmer bars."""

from __future__ import annotations

from nibsmith.answers.tools.damp import DampAsked, damp_of, humidity_words, warm_enough
from nibsmith.answers.wording import degrees
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
    layers = (
        Line("at the face", bars, [min(face, float(WET)) for face in faces]),
        Rule(WET, "water settles"),
        Rule(found.limit, "takes up water"),
        Mark(asked.bar_celsius, found.shown_percent, "this bar"),
    )
    says = (
        f"The colder the bar, the damper the air at its face: {humidity_words(found.at_face)} at "
        f"{degrees(asked.bar_celsius)}. Under {humidity_words(found.limit)} from "
        f"{degrees(warm_enough(asked))} on; water settles below {degrees(found.dew_celsius)}."
    )
    strip = Strip("Humidity at the face, %", layers, high=WET)
    return Chart("Bars in this room", says, Axis("bar, °C"), (strip,), decimal_sign=decimal_sign)
