"""Reading a cooling curve: how steep it is where freezing heat holds it up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.quantities.shown import format_celsius
from nibsmith.science.tables import load
from nibsmith.science.temper.smoothing import smoothed, turns

_SECONDS = 60
# The record is put on a grid of one second, finer than any probe answers.
_GRID_STEP = 1
# Deviations of the slope that a bend must exceed, so that noise bends no curve.
_NOISE_MARGIN = 4
_ERRORS = 3


class Arrest(StrEnum):
    """Whether freezing heat of seeds held the curve up.

    ``ENDS`` where the record ends before that can be told; ``LOW`` where it was held up so late that in so
    fast a cup it may be seeds or unstable crystals.
    """

    FOUND = "found"
    NONE = "none"
    ENDS = "ends"
    LOW = "low"


@dataclass(frozen=True, slots=True)
class CurveReading:
    """What a cooling curve says.

    ``slope`` is the slope at the inflection and ``slope_error`` three of its standard deviations,
    since the highest of a noisy slope lies a little high [K/min];
    ``inflection_celsius`` and ``inflection_minutes`` say where it is [°C], [min]; ``rise_k`` is how far the
    temperature came back up [K], so far where the record ends first. They are ``None`` where there is no
    arrest. ``minutes``, ``celsius`` and ``slopes`` are the smooth course for a picture.
    """

    arrest: Arrest
    coolant_celsius: float
    start_celsius: float
    noise_k: float
    minutes: Array
    celsius: Array
    slopes: Array
    slope: float | None = None
    slope_error: float | None = None
    inflection_celsius: float | None = None
    inflection_minutes: float | None = None
    rise_k: float = 0.0


def read_curve(
    seconds: Array, celsius: Array, coolant_celsius: float, lowering_k: float = 0.0
) -> CurveReading:
    """Return what a cooling curve says.

    After the first fast fall the slope rises to a highest value, the inflection, and falls again. That value,
    the temperature there and how far the temperature comes back are the reading.

    Parameters
    ----------
    seconds : array
        Times of the readings in their order [s].
    celsius : array
        Temperatures [°C].
    coolant_celsius : float
        Temperature of the cold body [°C].
    lowering_k : float
        How much other fats lower the melting of the mass [K].

    Returns
    -------
    CurveReading
        Without an inflection where nothing holds the curve up before it comes within 3 K of the coolant or to
        17 °C, or only under 19 °C, where it is unstable crystals that do; where the record ends before that;
        and where a cup that falls by more than 6.5 K/min, which may go so low with seeds too, is held up
        under 19 °C.

    Raises
    ------
    InputError
        For times that do not rise, gaps, too few readings, a record that does not fall, or falls under its
        coolant, numbers that are °F.

    Notes
    -----
    Slope and inflection depend on cup, coolant and start: compare only readings taken alike.

    Examples
    --------
    >>> from nibsmith.science.temper.crystals import Fat
    >>> from nibsmith.science.temper.cup import cup_curve, usual_cup
    >>> cup = cup_curve(0.02, Fat(0.32), usual_cup(), 15.0)
    >>> reading = read_curve(60 * cup.minutes, cup.celsius, 8.0)
    >>> round(reading.slope, 1), round(reading.inflection_celsius), round(reading.rise_k, 1)
    (0.4, 21, 0.6)

    References
    ----------
    [temper-meter-manual], [savitzky-golay-1964]
    """
    times, readings = _checked(np.asarray(seconds, dtype=float), np.asarray(celsius, dtype=float))
    _check_coolant(readings, coolant_celsius)
    grid = np.arange(times[0], times[-1] + _GRID_STEP / 2, _GRID_STEP)
    spacing = float(np.median(np.diff(times)))
    even = np.interp(grid, times, readings)
    half = _half_window(load("temper_curve")["window"].value, spacing)
    noise_k = float(np.std(readings - np.interp(times, grid, smoothed(even, half)[0])))
    if 2 * _SECONDS * _slope_error(noise_k, half, spacing) > load("temper_curve")["slope_error"].value:
        half = _half_window(load("temper_curve")["window_noisy"].value, spacing)
    course, slopes = smoothed(even, half)
    error = _slope_error(noise_k, half, spacing)
    minutes = (grid - times[0]) / _SECONDS
    found = CurveReading(
        Arrest.NONE, coolant_celsius, float(readings[0]), noise_k, minutes, course, _SECONDS * slopes
    )
    return _with_arrest(found, _SECONDS * error, lowering_k)


def _with_arrest(plain: CurveReading, error: float, lowering_k: float) -> CurveReading:
    table, slopes = load("temper_curve"), plain.slopes
    least = max(table["prominence"].value * float(-slopes.min()), _NOISE_MARGIN * error)
    near = plain.coolant_celsius + table["near_coolant"].value
    latest = table["least_inflection"].value - lowering_k
    fast = float(-slopes.min()) > table["fastest_fall"].value
    places = turns(slopes, least)
    if len(places) < 2:
        past = near if fast else max(near, latest - table["deepest_dip"].value)
        warming = slopes[places[0] if places else 0 :].max() > least
        return _ended(plain) if warming or plain.celsius.min() > past else plain
    low, high = places[0], places[1]
    celsius = float(plain.celsius[high])
    if celsius <= max(near, latest):
        return replace(plain, arrest=Arrest.LOW) if fast and celsius > near else plain
    back = float(plain.celsius[high:].max() - plain.celsius[low : high + 1].min())
    return replace(
        plain,
        arrest=Arrest.FOUND,
        slope=float(slopes[high]),
        slope_error=_ERRORS * error,
        inflection_celsius=celsius,
        inflection_minutes=float(plain.minutes[high]),
        rise_k=max(0.0, back) if slopes[high] > 0 else 0.0,
    )


def _ended(plain: CurveReading) -> CurveReading:
    """A record that ends while its bend may still come: few crystals hold it up late."""
    back = float(plain.celsius[-1] - plain.celsius.min())
    return replace(plain, arrest=Arrest.ENDS, rise_k=back)


def _half_window(seconds: float, spacing: float) -> int:
    least = load("temper_curve")["least_points"].value * spacing
    return int(max(seconds, least) / _GRID_STEP) // 2


def _slope_error(noise_k: float, half: int, spacing: float) -> float:
    """Deviation of the slope [K/s]; only every so many seconds is a reading of its own."""
    second_moment = int(sum(np.arange(-half, half + 1) ** 2))
    return noise_k / float(np.sqrt(second_moment / max(spacing, _GRID_STEP)))


def _checked(times: Array, readings: Array) -> tuple[Array, Array]:
    table = load("temper_curve")
    if times.shape != readings.shape or times.ndim != 1:
        raise InputError("Every time needs a temperature", value=f"{times.size} and {readings.size}")
    bad = ~(np.isfinite(times) & np.isfinite(readings))
    if bad.any():
        raise InputError("A reading is no number", value=f"row {int(np.argmax(bad)) + 1}")
    if times.size < table["least_points"].value:
        raise InputError(
            "Too few readings", value=times.size, limit=f"{table['least_points'].value:g} and more"
        )
    steps = np.diff(times)
    if (steps <= 0).any():
        row = int(np.argmax(steps <= 0)) + 2
        raise InputError("The times do not rise", value=f"row {row}", advice="Put the rows in their order.")
    if steps.max() > table["longest_gap"].value:
        row = int(np.argmax(steps)) + 2
        limit = f"{table['longest_gap'].value:g} s"
        raise InputError(
            "A gap is too long to see the bend", value=f"{steps.max():g} s at row {row}", limit=limit
        )
    _check_fall(times, readings)
    return times, readings


def _check_coolant(readings: Array, coolant_celsius: float) -> None:
    """Refuse a cold body that cannot have cooled this cup."""
    if readings[0] <= coolant_celsius:
        raise InputError(
            "A cup starts warmer than its cold body",
            value=format_celsius(float(readings[0])),
            limit=format_celsius(coolant_celsius),
        )
    coldest = float(readings.min())
    if coldest < coolant_celsius - load("temper_curve")["under_coolant"].value:
        body, falls_to = format_celsius(coolant_celsius), format_celsius(coldest)
        raise InputError(
            "No cup gets colder than its cold body",
            value=f"a cold body of {body} for a record that falls to {falls_to}",
            advice="Measure the body that the cup stood in.",
            field="coolant",
        )


def _check_fall(times: Array, readings: Array) -> None:
    table = load("temper_curve")
    if readings.max() > table["hottest"].value:
        raise InputError(
            "No tempered mass is this hot",
            value=format_celsius(float(readings.max())),
            limit=format_celsius(table["hottest"].value),
            advice="If these are °F, say so.",
        )
    if times[-1] - times[0] < table["least_time"].value:
        limit = f"{table['least_time'].value:g} s and more"
        raise InputError("The record is too short", value=f"{times[-1] - times[0]:g} s", limit=limit)
    fall = float(readings[0] - readings.min())
    if fall < table["least_fall"].value:
        limit = f"{table['least_fall'].value:g} K and more"
        raise InputError("The record does not fall", value=f"{fall:.1f} K", limit=limit)
