"""The column of times, and what its numbers mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.log.clock_shapes import DAY, HOUR, MINUTE
from nibsmith.science.roast.log.columns import Column, Kind
from nibsmith.science.roast.log.heads import SCALES, Head, Says
from nibsmith.science.roast.log.told import TimeUnit, Told
from nibsmith.science.roast.log.understood import TimeKind, TimesFound
from nibsmith.science.tables import load

# Seconds since 1970 of this century; a thousand times as many are milliseconds.
_EPOCH_FIRST, _EPOCH_LAST = 946_684_800, 4_102_444_800
_SECONDS = {TimeUnit.SECONDS: 1, TimeUnit.MINUTES: MINUTE, TimeUnit.HOURS: HOUR}
_MOSTLY = 20  # times rise but for one step of so many
_UNTOLD_ADVICE = "Say whether it counts seconds, minutes or hours."


@dataclass(frozen=True, eq=False)
class Times:
    """Times of all rows [s], no number where a row has none, and where they are from.

    ``elapsed`` says that zero is the start of the log itself, and not a time of the day.
    """

    seconds: Array
    found: TimesFound
    elapsed: bool
    used: frozenset[int]


def find_times(columns: Sequence[Column], heads: Sequence[Head], told: Told) -> Times:
    r"""Return the times of a log.

    Parameters
    ----------
    columns : sequence of Column
        All columns of the file.
    heads : sequence of Head
        What stands above each.
    told : Told
        What the maker says beside the log: the column, its unit, or the time between two rows.

    Returns
    -------
    Times
        One for each row, no number where a row has none [s], and how they were found.

    Raises
    ------
    InputError
        If none can be told, or the column that is named holds no times.

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> from nibsmith.science.roast.log.columns import RawColumn
    >>> from nibsmith.science.roast.log.heads import Head
    >>> cells = cut(b"0;24.0\n30;31.5\n60;40.0\n")
    >>> both = [RawColumn(cells, number).settled(0) for number in range(2)]
    >>> find_times(both, [Head("time", "seconds"), Head("beans")], Told()).seconds.tolist()
    [0.0, 30.0, 60.0]
    """
    column = _named(columns, heads, told.time) if told.time else _likeliest(columns, heads)
    if column is None:
        return _by_rows(columns, told)
    head = heads[column.number]
    name = head.name or f"column {column.number + 1}"
    if column.kind is Kind.DATE_TIME:
        return _dated(column, name, column.days, frozenset({column.number}))
    if column.kind is Kind.CLOCK:
        return _clock(column, columns, heads, name)
    return (
        _short(column, head, told, name) if column.kind is Kind.SHORT else _number(column, head, told, name)
    )


def _named(columns: Sequence[Column], heads: Sequence[Head], wanted: str) -> Column:
    for column in columns:
        if wanted.lower() in (heads[column.number].name.lower(), str(column.number + 1)):
            if column.kind in (Kind.DATE_TIME, Kind.CLOCK, Kind.SHORT, Kind.NUMBER):
                return column
            raise InputError("This column holds no times", value=wanted)
    names = ", ".join(head.name or f"column {number}" for number, head in enumerate(heads, 1))
    raise InputError("No column has this name", value=wanted, advice=f"They are: {names}.")


def _likeliest(columns: Sequence[Column], heads: Sequence[Head]) -> Column | None:
    unnamed = not any(head.name for head in heads)
    ranked = [(_rank(column, heads[column.number], unnamed), column.number, column) for column in columns]
    possible = [(rank, number, column) for rank, number, column in ranked if rank is not None]
    return min(possible, key=lambda each: each[:2])[2] if possible else None


def _rank(column: Column, head: Head, unnamed: bool) -> int | None:
    """How well a column serves for the times, zero best; ``None`` where it cannot be one."""
    if column.kind is Kind.DATE_TIME:
        return 1
    if column.kind in (Kind.CLOCK, Kind.SHORT):
        return 0 if head.says is Says.ELAPSED else 2
    if column.kind is not Kind.NUMBER or head.scale is not None or column.unit in SCALES:
        return None
    if not rises(column.values):
        return None
    if _is_epoch(column.values):
        return 1
    counts = (head.unit or column.unit) in {unit.value for unit in TimeUnit}
    if counts or head.says is Says.ELAPSED:
        return 0
    if head.says is Says.TIME:
        return 3
    return 4 if unnamed and column.number == 0 else None


def rises(values: Array) -> bool:
    """Return whether numbers rise, or fall, but for few of their steps, as times do.

    Parameters
    ----------
    values : array
        In the order of the rows, no number where a row has none [any unit].

    Returns
    -------
    bool
        False where nothing moves.

    Examples
    --------
    >>> rises(np.array([0.0, 1.0, np.nan, 3.0])), rises(np.array([5.0, 2.0, 6.0, 1.0, 7.0, 2.0]))
    (True, False)
    """
    steps = np.diff(values[np.isfinite(values)])
    against = min(int((steps < 0).sum()), int((steps > 0).sum()))
    return bool(steps.size and (steps != 0).any() and against * _MOSTLY <= steps.size + _MOSTLY)


def _is_epoch(values: Array) -> bool:
    middle = float(np.nanmedian(values))
    return _EPOCH_FIRST <= middle <= _EPOCH_LAST or _EPOCH_FIRST <= middle / 1000 <= _EPOCH_LAST


def _by_rows(columns: Sequence[Column], told: Told) -> Times:
    if told.every_s is None:
        raise InputError(
            "No column of times was found",
            advice="Say which column it is, or how many seconds lie between two rows.",
        )
    if not told.every_s > 0:
        raise InputError("The time between rows is above zero", value=told.every_s)
    any_number = np.any([np.isfinite(column.values) for column in columns], axis=0)
    seconds = np.where(any_number, (np.cumsum(any_number) - 1) * told.every_s, np.nan)
    return Times(seconds, TimesFound("", TimeKind.ROWS), elapsed=True, used=frozenset())


def _dated(column: Column, name: str, days: Array, used: frozenset[int]) -> Times:
    first_day = np.nanmin(days) if np.isfinite(days).any() else 0.0
    seconds = column.values + (days - first_day) * DAY
    found = TimesFound(
        name, TimeKind.DATE_TIME, first_s=_first(column.values + column.ahead), halves=column.halves
    )
    return Times(seconds, found, elapsed=False, used=used)


def _clock(column: Column, columns: Sequence[Column], heads: Sequence[Head], name: str) -> Times:
    dates = next((each for each in columns if each.kind is Kind.DATE), None)
    if dates is not None:
        dated = _dated(column, name, dates.days, frozenset({column.number, dates.number}))
        date_name = heads[dates.number].name or f"column {dates.number + 1}"
        return replace(dated, found=replace(dated.found, date_column=date_name))
    first, used = _first(column.values), frozenset({column.number})
    if heads[column.number].says is Says.ELAPSED or (first < HOUR and not column.halves):
        return Times(column.values, TimesFound(name, TimeKind.ELAPSED, first_s=first), True, used)
    found = TimesFound(name, TimeKind.CLOCK, first_s=first, halves=column.halves)
    return Times(_over_midnight(column.values, DAY), found, elapsed=False, used=used)


def _over_midnight(values: Array, day: int) -> Array:
    """Add a day wherever a clock goes back by more than half a day."""
    here = np.flatnonzero(np.isfinite(values))
    days = np.zeros(values.size)
    days[here[1:]] = np.cumsum(np.diff(values[here]) < -day // 2)
    return values + days * day


def _short(column: Column, head: Head, told: Told, name: str) -> Times:
    """Two parts: minutes and seconds, or hours and minutes of a clock."""
    clock = _over_midnight(column.values, DAY // MINUTE) * MINUTE
    written = told.time_unit or (TimeUnit(head.unit) if head.unit in ("minutes", "hours") else None)
    if written is None and column.halves:
        written = TimeUnit.HOURS
    unit = written or _by_length(((TimeUnit.MINUTES, column.values), (TimeUnit.HOURS, clock)), name)
    used, first = frozenset({column.number}), _first(column.values)
    if unit is TimeUnit.HOURS:
        found = TimesFound(name, TimeKind.CLOCK, unit, written is None, first * MINUTE, halves=column.halves)
        return Times(clock, found, elapsed=False, used=used)
    found = TimesFound(name, TimeKind.ELAPSED, unit, inferred=written is None, first_s=first)
    return Times(column.values, found, elapsed=True, used=used)


def _number(column: Column, head: Head, told: Told, name: str) -> Times:
    values, used = column.values, frozenset({column.number})
    if _is_epoch(values):
        thousand = 1 if float(np.nanmedian(values)) <= _EPOCH_LAST else 1000
        unit = TimeUnit.SECONDS if thousand == 1 else TimeUnit.MILLISECONDS
        return Times(values / thousand, TimesFound(name, TimeKind.EPOCH, unit), elapsed=False, used=used)
    written = told.time_unit or _unit(head.unit) or _unit(column.unit)
    possible = ((TimeUnit.SECONDS, values), (TimeUnit.MINUTES, values * MINUTE))
    unit = written or _by_length(possible, name)
    seconds = values / 1000 if unit is TimeUnit.MILLISECONDS else values * _SECONDS[unit]
    found = TimesFound(name, TimeKind.NUMBER, unit, inferred=written is None)
    return Times(seconds, found, elapsed=True, used=used)


def _unit(word: str) -> TimeUnit | None:
    return TimeUnit(word) if word in {unit.value for unit in TimeUnit} else None


def _by_length(possible: tuple[tuple[TimeUnit, Array], ...], name: str) -> TimeUnit:
    """The one unit under which the log is as long as a roast can be."""
    table = load("roast")
    shortest, longest = table["roast_shortest"].value, table["roast_longest"].value
    lengths = [(unit, float(np.nanmax(seconds) - np.nanmin(seconds))) for unit, seconds in possible]
    fitting = [unit for unit, length in lengths if shortest <= length <= longest]
    if not any(length for _, length in lengths):
        return lengths[0][0]  # one time alone: too few readings are refused later, in better words
    if len(fitting) != 1:
        either = " or ".join(f"{length / MINUTE:.3g} min in {unit.value}" for unit, length in lengths)
        raise InputError(
            f"It cannot be told what the times in “{name}” count",
            value=f"a roast of {either}",
            limit=f"{shortest / MINUTE:g} min to {longest / HOUR:g} h",
            advice=_UNTOLD_ADVICE,
        )
    return fitting[0]


def _first(values: Array) -> float:
    known = values[np.isfinite(values)]
    return float(known[0]) if known.size else 0.0
