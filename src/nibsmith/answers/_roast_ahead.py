"""When the beans of a roast under way will come to a temperature, in words."""

from __future__ import annotations

import math

from nibsmith.answers._roast_beside import probe_of_kind
from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.roast_log import clock
from nibsmith.answers.wording import degrees, ended
from nibsmith.science.errors import NibsmithError
from nibsmith.science.roast import Forecast, forecast_end


def ahead(record: RoastRecord, celsius: float) -> str:
    """Say when the beans come to a temperature at which they are to be taken out, or why nobody can tell.

    Parameters
    ----------
    record : RoastRecord
        The roast so far.
    celsius : float
        The temperature [°C].

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import typed_roast
    >>> so_far = RoastRecord(typed_roast("0:00 25 °C; 10:00 85; 20:00 109"))
    >>> ahead(so_far, 118.0).partition(" comes ")[2]
    'at about 29:01, between 26:47 and 32:32: a guess from the last readings.'
    """
    probe = probe_of_kind(record)
    if isinstance(probe, str):
        return f"No forecast of the beans: {ended(probe)}"
    try:
        return ahead_words(forecast_end(record.part(probe), celsius), celsius)
    except NibsmithError as error:
        return f"No forecast: {error}"


def ahead_words(found: Forecast, celsius: float) -> str:
    """Say a forecast."""
    time = found.time_s
    early = clock(round(time.low))
    open_ended = f"at {early} or later, perhaps never"
    ends = open_ended if math.isinf(time.high) else f"between {early} and {clock(round(time.high))}"
    return (
        f"As it goes now, {degrees(celsius)} comes at about {clock(round(time.value))}, {ends}: a guess from "
        "the last readings."
    )
