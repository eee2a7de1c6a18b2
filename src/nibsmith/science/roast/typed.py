"""A roast typed by hand: a few times with temperatures, or the dial of an oven and the minutes."""

from __future__ import annotations

import re
from decimal import Decimal

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Scale, parse_temperature
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve, Doubt, Probe, Question, Roast, Role
from nibsmith.science.tables import load

LEAST_POINTS = 3
MOST_POINTS = 60
LONGEST_TEXT = 4000
_HOUR = 3600
_POINTS = re.compile(r"[;\n]+")
_POINT = re.compile(
    r"\s*(?P<time>\d[\d:.,]*\s*(?:h|min|m|s|sec)?(?:\s*\d+\s*(?:min|m|s|sec))?)"
    r"(?:\s*[=,]\s*|\s+)(?P<degrees>-?\d\S*.*?)\s*",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)")
_WORDS = re.compile(
    r"(?:(\d+)\s*h)?\s*(?:(\d+(?:[.,]\d+)?)\s*(?:min|m))?\s*(?:(\d+)\s*(?:sec|s))?", re.IGNORECASE
)
_BARE = re.compile(r"\d{1,3}(?:[.,]\d+)?")
_ADVICE = "Write a time and a temperature, such as 12:30 105 °C, one point a line."


def typed_roast(
    text: str, role: Role = Role.BEAN, scale: Scale | None = None, name: str = "readings by hand"
) -> Roast:
    """Return the roast that a few typed readings make.

    Parameters
    ----------
    text : str
        Points on lines of their own or set apart by ``;``: ``0:00 24 °C; 10:00 105; 20 min 121``. A time
        alone is in minutes; a scale written once holds for all.
    role : Role
        What was measured.
    scale : str, optional
        The scale ``C`` or ``F`` where the field says it.
    name : str
        What the probe is called.

    Returns
    -------
    Roast
        One probe, times [s], temperatures [°C].

    Raises
    ------
    InputError
        If a point cannot be read, times do not rise, there are fewer than three points or more than sixty, or
        no scale is written.

    Notes
    -----
    Between two readings a straight line is taken, up to twenty-one minutes long.

    Examples
    --------
    >>> roast = typed_roast("0:00 24 °C; 10:00 105; 20 min 121")
    >>> roast.probes[0].readings.times_s.tolist(), roast.probes[0].readings.celsius.tolist()
    ([0.0, 600.0, 1200.0], [24.0, 105.0, 121.0])

    References
    ----------
    [bench-judgement]
    """
    if len(text) > LONGEST_TEXT:
        raise InputError("This is too long", value=f"{len(text)} characters", limit=LONGEST_TEXT)
    points = [point for point in _POINTS.split(text) if point.strip()]
    if not LEAST_POINTS <= len(points) <= MOST_POINTS:
        raise InputError(
            "A roast typed by hand has a few points",
            value=len(points),
            limit=f"{LEAST_POINTS} to {MOST_POINTS}",
            advice="The start, two or three on the way, and the end are enough.",
        )
    pairs = [_pair(point) for point in points]
    written = _scale([degrees for _, degrees in pairs], scale)
    times = np.array([seconds_typed(time) for time, _ in pairs])
    celsius = np.array([float(parse_temperature(degrees, bare=written).celsius) for _, degrees in pairs])
    _check_rising(times, points)
    probe = Probe(name, role, Curve(times, celsius, load("roast")["gap_by_hand"].value))
    return Roast((probe,), by_hand=True, questions=_questions(probe, written))


def _pair(point: str) -> tuple[str, str]:
    match = _POINT.fullmatch(point)
    if match is None:
        raise InputError("This is no time with a temperature", value=point.strip(), advice=_ADVICE)
    return match["time"].strip(), match["degrees"]


def _scale(degrees: list[str], scale: Scale | None) -> Scale:
    """The one scale that is written, or the one that the field says."""
    found = {text.rstrip(". ")[-1].upper() for text in degrees} & {"C", "F"}
    if len(found) > 1:
        raise InputError("Both °C and °F are written", advice="Write one of them throughout.")
    written: Scale | None = "F" if found == {"F"} else "C" if found else None
    chosen = written or scale
    if chosen is None:
        raise InputError("A temperature needs its scale", value=degrees[0], advice="Write °C or °F after it.")
    return chosen


def seconds_typed(text: str) -> float:
    """Return a typed time since the start.

    Parameters
    ----------
    text : str
        Such as ``12:30``, ``1:05:00``, ``12 min``, ``90 s``, ``1 h 5 min``, or minutes alone.

    Returns
    -------
    float
        The time [s].

    Raises
    ------
    InputError
        If it is no time.

    Examples
    --------
    >>> seconds_typed("12:30"), seconds_typed("12"), seconds_typed("1 h 5 min")
    (750.0, 720.0, 3900.0)

    References
    ----------
    [bench-judgement]
    """
    text = text.strip()
    if match := _CLOCK.fullmatch(text):
        hours, minutes, seconds = (int(part or 0) for part in match.groups())
        return float(hours * _HOUR + minutes * SECONDS_A_MINUTE + seconds)
    if _BARE.fullmatch(text):
        return float(Decimal(text.replace(",", ".")) * SECONDS_A_MINUTE)
    match = _WORDS.fullmatch(text)
    if match is None or not any(match.groups()):
        raise InputError("This is no time", value=text, advice="Write 12:30, 12 min or 90 s.")
    hours_, minutes_, seconds_ = (Decimal((part or "0").replace(",", ".")) for part in match.groups())
    return float(hours_ * _HOUR + minutes_ * SECONDS_A_MINUTE + seconds_)


def _check_rising(times: np.typing.NDArray[np.float64], points: list[str]) -> None:
    for place in np.flatnonzero(np.diff(times) <= 0):
        raise InputError(
            "The times do not rise",
            value=f"{points[place].strip()}; {points[place + 1].strip()}",
            advice="Put the points in the order in which they happened.",
        )


def _questions(probe: Probe, scale: Scale) -> tuple[Question, ...]:
    table, hottest = load("roast"), probe.readings.hottest[1]
    limit = "question_bean" if probe.role is Role.BEAN else "question_air"
    if scale == "C" and hottest > table[limit].value:
        return (Question(Doubt.HOT, probe.name, hottest, "C"),)
    if probe.readings.constant and probe.role is Role.BEAN:
        return (Question(Doubt.CONSTANT, probe.name, hottest, "C"),)
    return ()


def oven_roast(celsius: float, minutes: float) -> Roast:
    """Return the roast that the dial of an oven and the minutes make.

    Parameters
    ----------
    celsius : float
        What the dial said [°C].
    minutes : float
        How long the beans were in [min].

    Returns
    -------
    Roast
        One probe, the dial, which measures nothing.

    Raises
    ------
    InputError
        If the time is not above zero, or longer than any roast.

    Examples
    --------
    >>> oven_roast(140.0, 35.0).probes[0].role.value
    'setting'

    References
    ----------
    [bench-judgement]
    """
    longest = load("roast")["roast_longest"].value
    seconds = minutes * SECONDS_A_MINUTE
    if not 0 < seconds <= longest:
        limit = f"above 0, up to {longest / SECONDS_A_MINUTE:g} min"
        raise InputError("This is no time of a roast", value=f"{minutes:g} min", limit=limit)
    dial = Curve(np.array([0.0, seconds]), np.array([celsius, celsius]), seconds)
    probe = Probe("oven setting", Role.SETTING, dial)
    too_hot = celsius > load("roast")["question_air"].value
    questions = (Question(Doubt.HOT, probe.name, celsius, "C"),) if too_hot else ()
    return Roast((probe,), by_hand=True, questions=questions)
