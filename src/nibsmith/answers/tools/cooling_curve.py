"""A cooling curve typed or pasted: what it says of the temper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from nibsmith.answers.curve import CurveAsked, curve
from nibsmith.answers.tools.outcome import Given, Outcome, constants, given
from nibsmith.answers.tools.rows import MINUTES, SECONDS, rows_of
from nibsmith.science.errors import InputError
from nibsmith.science.temper import MarkedCurve, Temper

FORMULAS = (
    "The readings are smoothed by parabolas over a window; the slope is theirs.",
    "t_1 is where the temperature falls fastest, t_2 the steepest rise after it: the inflection.",
    "Slope = dT/dt at t_2; rise = the warmest after t_2 less the coolest before it, or nothing.",
)
KEYS = (
    "window",
    "near_coolant",
    "least_inflection",
    "deepest_dip",
    "fastest_fall",
    "under_coolant",
    "slope_limit",
    "marked_curves",
)
_NAMES = ("time", "temperature")


@dataclass(frozen=True, slots=True)
class CurveTyped:
    """A curve as typed: rows of time and temperature, the cold body [°C], the maker's marked curves."""

    times: tuple[float, ...]
    celsius: tuple[float, ...]
    in_seconds: bool
    coolant_celsius: float
    marked: tuple[MarkedCurve, ...] = ()
    left_out: int = 0

    @property
    def asked(self) -> CurveAsked:
        """The curve as the answer reads it."""
        factor = SECONDS if self.in_seconds else MINUTES
        seconds = [time * factor for time in self.times]
        return CurveAsked(seconds, self.celsius, self.coolant_celsius, self.marked)


def curve_typed(
    text: str, coolant_celsius: float, *, in_seconds: bool = False, marked: str = ""
) -> CurveTyped:
    r"""Read a cooling curve from lines of time and temperature.

    Parameters
    ----------
    text : str
        One reading a line, typed or from a logger; ``3:20`` is a clock.
    coolant_celsius : float
        Temperature of the cold body [°C].
    in_seconds : bool
        Whether plain times are seconds, not minutes.
    marked : str
        Curves the maker has marked: slope, coolant, start and under, well or over, one a line.

    Returns
    -------
    CurveTyped
        In the order of its lines.

    Raises
    ------
    InputError
        With the line that cannot be read.

    Examples
    --------
    >>> curve_typed("0:30 31.2\n1:00 29.8", 8.0).times
    (0.5, 1.0)
    """
    found = rows_of(text, _NAMES, clock_unit=SECONDS if in_seconds else MINUTES)
    times, celsius = zip(*found.rows, strict=True)
    return CurveTyped(times, celsius, in_seconds, coolant_celsius, marked_typed(marked), found.left_out)


def marked_typed(text: str) -> tuple[MarkedCurve, ...]:
    """Read curves that a maker has marked.

    Examples
    --------
    >>> marked_typed("+0.35 8 31.5 well")[0].mark.value
    'well'
    """
    found = []
    for number, line in enumerate(text.splitlines(), 1):
        *figures, word = line.split() or [""]
        if not word:
            continue
        marks = {mark.value: mark for mark in Temper}
        if word.lower() not in marks:
            there = f"There are: {', '.join(marks)}."
            what = f"Line {number} ends with no such mark"
            raise InputError(what, value=word, advice=there, field="marked")
        names = ("slope", "coolant", "start")
        slope, coolant, start = rows_of(" ".join(figures) or "-", names).rows[0]
        found.append(MarkedCurve(slope, coolant, start, marks[word.lower()]))
    return tuple(found)


def curve_by_hand(typed: CurveTyped) -> Outcome:
    """Answer what a typed curve says of the temper.

    Parameters
    ----------
    typed : CurveTyped
        The curve.

    Returns
    -------
    Outcome
        The answer of ``curve``: the figure always, a verdict after three marked curves.

    Examples
    --------
    >>> curve_by_hand(curve_typed("0 31 / 1 30", 8.0)).answer.verdict.value
    'unknown'
    """
    return Outcome(curve(typed.asked), tuple(_given(typed)), FORMULAS, constants("temper_curve", KEYS))


def _given(typed: CurveTyped) -> Iterator[Given]:
    unit = "s" if typed.in_seconds else "min"
    yield given("Readings", len(typed.times), "", said=True)
    yield given("From", typed.times[0], unit, said=True)
    yield given("To", typed.times[-1], unit, said=True)
    yield given("Coolant", typed.coolant_celsius, "°C", said=True)
    if typed.marked:
        yield given("Marked curves of yours", len(typed.marked), "", said=True)
    if typed.left_out:
        yield Given("Lines without numbers, left out", str(typed.left_out), "")
