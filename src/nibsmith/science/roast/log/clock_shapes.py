"""Times of day, elapsed times and dates, read from the shape of their cells."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from nibsmith.science.numerics import Array
from nibsmith.science.roast.log.shapes import Shape

_DATE = (
    rb"(?:(?P<year>0000)[-/.](?P<month>00?)[-/.](?P<day>00?)"
    rb"|(?P<one>00?)[-/.](?P<two>00?)[-/.](?P<three>0000|00))"
)
_CLOCK = rb"(?P<hour>0+):(?P<minute>00):(?P<second>00?)(?:[.,](?P<part>0+))?"
_SHORT = rb"(?P<large>0+):(?P<small>00)(?:[.,](?P<rest>0+))?"
_HALF = rb"(?:\s*(?P<half>[AaPp])\.?[Mm]\.?)?"
_ZONE = rb"\s*(?P<zone>Z|(?P<side>[+-])(?P<ahead>00):?(?P<ahead_minutes>00))?"
_AROUND = rb"[\s\"']*"
CLOCK = re.compile(_AROUND + rb"(?P<sign>-)?" + _CLOCK + _HALF + _AROUND)
SHORT = re.compile(_AROUND + rb"(?P<sign>-)?" + _SHORT + _HALF + _AROUND)
DATE = re.compile(_AROUND + _DATE + _AROUND)
DATE_TIME = re.compile(
    _AROUND + _DATE + rb"[T ,]+(?:" + _CLOCK + rb"|" + _SHORT + rb")" + _HALF + _ZONE + _AROUND
)

MINUTE, HOUR, DAY = 60, 3600, 86400
_HALF_HOURS, _MONTHS, _MOST_DAYS = 12, 12, 31
_CENTURY = 2000
_TWO_DIGITS = 100


@dataclass(frozen=True, eq=False)
class Date:
    """The three numbers of a date and which of them is the year: the first, or the last."""

    first: Array
    middle: Array
    last: Array
    year_first: bool


def clock_seconds(shape: Shape, match: re.Match[bytes]) -> Array:
    r"""Return the seconds of ``h:mm:ss``, with its half of the day and its sign.

    Parameters
    ----------
    shape : Shape
        Cells that look alike.
    match : re.Match
        Of ``CLOCK`` or ``DATE_TIME`` with its example.

    Returns
    -------
    array
        One for each cell; no number where minutes or seconds are 60 or more [s].

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.shapes import shapes
    >>> shape = next(shapes(cut(b"1:02:03;24\n1:61:00;31\n"), 0))
    >>> clock_seconds(shape, CLOCK.fullmatch(shape.example)).tolist()
    [3723.0, nan]
    """
    hour, minute = shape.digits(*match.span("hour")), shape.digits(*match.span("minute"))
    second = shape.number(match, "second", "part")
    total = _in_half(hour, match) * HOUR + minute * MINUTE + second
    return _signed(np.where((minute < MINUTE) & (second < MINUTE), total, np.nan), match)


def short_units(shape: Shape, match: re.Match[bytes]) -> Array:
    r"""Return the small unit of ``12:30``, which may be seconds or minutes.

    Parameters
    ----------
    shape : Shape
        Cells that look alike.
    match : re.Match
        Of ``SHORT`` or ``DATE_TIME`` with its example.

    Returns
    -------
    array
        One for each cell, 750 for ``12:30``; no number where the last part is 60 or more [s or min].

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.shapes import shapes
    >>> shape = next(shapes(cut(b"12:30;24\n12:75;31\n"), 0))
    >>> short_units(shape, SHORT.fullmatch(shape.example)).tolist()
    [750.0, nan]
    """
    large, small = shape.digits(*match.span("large")), shape.number(match, "small", "rest")
    total = _in_half(large, match) * MINUTE + small
    return _signed(np.where(small < MINUTE, total, np.nan), match)


def _in_half(hour: Array, match: re.Match[bytes]) -> Array:
    half = match["half"]
    if half is None:
        return hour
    return np.asarray(np.mod(hour, _HALF_HOURS) + (_HALF_HOURS if half in b"Pp" else 0))


def _signed(values: Array, match: re.Match[bytes]) -> Array:
    return -values if match.groupdict().get("sign") else values


def date_of(shape: Shape, match: re.Match[bytes]) -> Date:
    r"""Return the numbers of a date.

    Parameters
    ----------
    shape : Shape
        Cells that look alike.
    match : re.Match
        Of ``DATE`` or ``DATE_TIME`` with its example.

    Returns
    -------
    Date
        One of each for each cell; a year of two digits counts from 2000.

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.shapes import shapes
    >>> shape = next(shapes(cut(b"14.03.26;24\n15.03.26;31\n"), 0))
    >>> date = date_of(shape, DATE.fullmatch(shape.example))
    >>> date.first.tolist(), date.last.tolist(), date.year_first
    ([14.0, 15.0], [2026.0, 2026.0], False)
    """
    if match["year"]:
        year, month, day = (shape.digits(*match.span(name)) for name in ("year", "month", "day"))
        return Date(year, month, day, year_first=True)
    one, two, three = (shape.digits(*match.span(name)) for name in ("one", "two", "three"))
    return Date(one, two, np.where(three < _TWO_DIGITS, three + _CENTURY, three), year_first=False)


def zone_seconds(shape: Shape, match: re.Match[bytes]) -> Array | float:
    r"""Return how far a written zone lies ahead of universal time.

    Parameters
    ----------
    shape : Shape
        Cells that look alike.
    match : re.Match
        Of ``DATE_TIME`` with its example.

    Returns
    -------
    array or float
        One for each cell, below zero to the west; zero for all where no zone is written [s].

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.shapes import shapes
    >>> times = b"2026-03-14T10:00:00+01:00;24\n2026-03-14T10:01:00+01:00;31\n"
    >>> shape = next(shapes(cut(times), 0))
    >>> zone_seconds(shape, DATE_TIME.fullmatch(shape.example)).tolist()
    [3600.0, 3600.0]
    """
    if not match["ahead"]:
        return 0.0
    hours, minutes = shape.digits(*match.span("ahead")), shape.digits(*match.span("ahead_minutes"))
    ahead = hours * HOUR + minutes * MINUTE
    return -ahead if match["side"] == b"-" else ahead


def days(date: Date) -> tuple[Array, bool | None]:
    """Number the days of dates, and say whether the day stood before the month.

    Parameters
    ----------
    date : Date
        Three numbers for each cell.

    Returns
    -------
    tuple of array and bool
        Days since an arbitrary day, no number where there is no such day [d]; and whether the day stood
        first, ``None`` where that is not told. Where both orders are possible the one counts under which the
        dates lie closer together.

    Examples
    --------
    >>> date = Date(np.array([13.0, 14.0]), np.array([3.0, 3.0]), np.array([2026.0, 2026.0]), False)
    >>> found, day_first = days(date)
    >>> np.diff(found).tolist(), day_first
    ([1.0], True)
    """
    if date.year_first:
        return _day_numbers(date.first, date.middle, date.last), None
    one, two, year = date.first, date.middle, date.last
    day_first = _day_numbers(year, two, one) if _within(two, _MONTHS) else None
    month_first = _day_numbers(year, one, two) if _within(one, _MONTHS) else None
    if day_first is None or month_first is None:
        found = month_first if day_first is None else day_first
        return (np.full_like(one, np.nan) if found is None else found), day_first is not None
    if np.ptp(month_first) < np.ptp(day_first):
        return month_first, False
    return day_first, None if np.array_equal(np.diff(day_first), np.diff(month_first)) else True


def _within(values: Array, most: int) -> bool:
    return bool(((values >= 1) & (values <= most)).all())


def _day_numbers(year: Array, month: Array, day: Array) -> Array:
    """Days since an arbitrary day, by the calendar in use; no number where there is no such day."""
    shifted = np.mod(month + 9, _MONTHS)  # March first, so that the leap day comes last
    years = year - (month < 3)
    leaps = years // 4 - years // _TWO_DIGITS + years // 400
    number = 365 * years + leaps + (153 * shifted + 2) // 5 + day
    possible = (month >= 1) & (month <= _MONTHS) & (day >= 1) & (day <= _MOST_DAYS)
    return np.where(possible, number, np.nan)
