"""A roast typed by hand: a few times with temperatures, or the dial of an oven and the minutes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Scale, parse_temperature
from nibsmith.science.quantities.temperature import scales
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve, Doubt, Probe, Question, Roast, Role
from nibsmith.science.tables import load

Point = tuple[float, float]  # a time and a temperature [s, °C]
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
    text: str,
    role: Role = Role.BEAN,
    scale: Scale | None = None,
    name: str = "readings by hand",
    more: Sequence[Point] = (),
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
    more : sequence
        Points added one by one since, in any order [s, °C].

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
    >>> typed_roast("0:00 24 °C; 10:00 105", more=[(1200.0, 121.0)]).probes[0].readings.end_s
    1200.0

    References
    ----------
    [bench-judgement]
    """
    points, written = _typed(text, scale, LEAST_POINTS, len(more))
    times, celsius = np.array(in_time(points, more)).T
    probe = Probe(name, role, Curve(times, celsius, load("roast")["gap_by_hand"].value))
    return Roast((probe,), by_hand=True, questions=_questions(probe, written))


def typed_points(text: str, scale: Scale | None = None) -> tuple[Point, ...]:
    """Return the points of a text, however few: those of a roast that is under way.

    Parameters
    ----------
    text : str
        As ``typed_roast`` reads it.
    scale : str, optional
        The scale ``C`` or ``F`` where the field says it.

    Returns
    -------
    tuple
        Times and temperatures [s, °C].

    Raises
    ------
    InputError
        If one cannot be read, times do not rise, or no scale is written.

    Examples
    --------
    >>> typed_points("0:00 24 °C; 10:00 105")
    ((0.0, 24.0), (600.0, 105.0))

    References
    ----------
    [bench-judgement]
    """
    return _typed(text, scale, 1)[0]


def in_time(points: Sequence[Point], more: Sequence[Point]) -> tuple[Point, ...]:
    """Return points with others put in by their time.

    Parameters
    ----------
    points, more : sequence
        Times and temperatures [s, °C].

    Returns
    -------
    tuple
        All of them in the order of their times [s, °C].

    Raises
    ------
    InputError
        If two are of one time.

    Examples
    --------
    >>> in_time([(0.0, 24.0), (1200.0, 121.0)], [(600.0, 105.0)])
    ((0.0, 24.0), (600.0, 105.0), (1200.0, 121.0))

    References
    ----------
    [bench-judgement]
    """
    together = sorted((*points, *more))
    for (first, _), (second, _) in pairwise(together):
        if first == second:
            raise InputError(
                "There is a reading of this time already",
                value=f"{first / SECONDS_A_MINUTE:g} min",
                advice="Check the clock.",
            )
    return tuple(together)


def _typed(text: str, scale: Scale | None, least: int, more: int = 0) -> tuple[tuple[Point, ...], Scale]:
    """The points of a text, with so many more at least so many, and the scale that holds for all."""
    if len(text) > LONGEST_TEXT:
        raise InputError("This is too long", value=f"{len(text)} characters", limit=LONGEST_TEXT)
    points = [point for point in _POINTS.split(text) if point.strip()]
    if not least <= len(points) + more <= MOST_POINTS or not points:
        raise InputError(
            "A roast typed by hand has a few points",
            value=len(points) + more,
            limit=f"{least} to {MOST_POINTS}",
            advice="The start, two or three on the way, and the end are enough.",
        )
    pairs = [_pair(point) for point in points]
    written = _scale([degrees for _, degrees in pairs], scale)
    times = np.array([seconds_typed(time) for time, _ in pairs])
    celsius = [float(parse_temperature(degrees, bare=written).celsius) for _, degrees in pairs]
    _check_rising(times, points)
    return tuple(zip(times.tolist(), celsius, strict=True)), written


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
    table, (_, hottest) = load("roast"), probe.readings.hottest
    place = int(probe.readings.celsius.argmin())
    coldest, when = float(probe.readings.celsius[place]), float(probe.readings.times_s[place])
    if coldest < table["question_cold"].value:
        return (Question(Doubt.COLD, probe.name, coldest, "C", time_s=when),)
    limit = "question_bean" if probe.role is Role.BEAN else "question_air"
    if scale == "C" and hottest > table[limit].value:
        return (Question(Doubt.HOT, probe.name, hottest, "C"),)
    if scale == "F" and hottest < table["question_cool"].value:
        fahrenheit = hottest * float(scales().fahrenheit_per_kelvin) + float(scales().fahrenheit_zero)
        return (Question(Doubt.COOL, probe.name, fahrenheit, "F"),)
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
    too_cold = celsius < load("roast")["question_cold"].value
    doubts = [doubt for doubt, doubted in ((Doubt.HOT, too_hot), (Doubt.COLD, too_cold)) if doubted]
    questions = tuple(Question(doubt, probe.name, celsius, "C") for doubt in doubts)
    return Roast((probe,), by_hand=True, questions=questions)
