"""A column as a whole: numbers, times of day, dates, or a text."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.numerics import Array
from nibsmith.science.roast.log.cells import Cells
from nibsmith.science.roast.log.clock_shapes import (
    CLOCK,
    DATE,
    DATE_TIME,
    MINUTE,
    SHORT,
    Date,
    clock_seconds,
    date_of,
    days,
    short_units,
    zone_seconds,
)
from nibsmith.science.roast.log.shapes import Shape, is_missing, read_numbers, shapes


class Kind(StrEnum):
    """What the cells of a column are."""

    NUMBER = "number"
    CLOCK = "clock"
    SHORT = "short"
    DATE = "date"
    DATE_TIME = "date_time"
    TEXT = "text"
    EMPTY = "empty"


@dataclass(frozen=True, eq=False)
class Column:
    """One column: what most of its cells are, and their values; no number where a cell is something else.

    ``values`` are numbers, seconds of the day, or the small unit of ``12:30``; ``days`` the numbers of dates;
    ``ahead`` is how far a zone written beside a time lies ahead of universal time [s];
    ``unit`` what most cells carry behind the number; ``decimal`` the decimal sign, if there is one;
    ``day_first`` whether the day stands before the month, where that is told.
    """

    number: int
    kind: Kind
    values: Array
    days: Array
    ahead: Array
    unit: str = ""
    decimal: str = ""
    halves: bool = False
    day_first: bool | None = None


class RawColumn:
    """A column shape by shape: the values of every kind, and which cells were understood at all."""

    def __init__(self, cells: Cells, number: int) -> None:
        self.number = number
        self.written = cells.lengths[number] > 0
        self.known = np.zeros(self.written.size, dtype=bool)
        self.values: dict[Kind, Array] = {}
        self.parts: list[tuple[Shape, Date]] = []
        self.ahead = np.zeros(self.written.size)
        self.units: Counter[str] = Counter()
        self.decimals: Counter[str] = Counter()
        self.halves = False
        for shape in shapes(cells, number):
            self._take(shape)

    def _take(self, shape: Shape) -> None:
        """Understand one shape and keep its values."""
        if is_missing(shape.example):
            self.known[shape.rows] = True
            return
        numbers = read_numbers(shape)
        if numbers is None:
            self._take_time(shape)
            return
        self._keep(Kind.NUMBER, shape, numbers[0])
        self.units[numbers[1]] += shape.rows.size
        for sign in (sign for sign in ".," if sign.encode() in shape.example):
            self.decimals[sign] += shape.rows.size

    def _take_time(self, shape: Shape) -> None:
        if match := CLOCK.fullmatch(shape.example):
            self._keep(Kind.CLOCK, shape, clock_seconds(shape, match))
        elif match := SHORT.fullmatch(shape.example):
            self._keep(Kind.SHORT, shape, short_units(shape, match))
        elif match := DATE_TIME.fullmatch(shape.example):
            clock, unit = (clock_seconds, 1) if match["hour"] else (short_units, MINUTE)
            ahead = zone_seconds(shape, match)
            self._keep(Kind.DATE_TIME, shape, clock(shape, match) * unit - ahead)
            self.ahead[shape.rows] = ahead
            self.parts.append((shape, date_of(shape, match)))
        elif match := DATE.fullmatch(shape.example):
            self._keep(Kind.DATE, shape, np.zeros(shape.rows.size))
            self.parts.append((shape, date_of(shape, match)))
        else:
            return
        self.halves |= bool(match.groupdict().get("half"))

    def _keep(self, kind: Kind, shape: Shape, values: Array) -> None:
        if kind not in self.values:
            self.values[kind] = np.full(self.written.size, np.nan)
        self.values[kind][shape.rows] = values
        self.known[shape.rows] = True

    def holding(self, rows: int | None) -> NDArray[np.bool_]:
        """Which of the first so many cells hold a value of any kind."""
        found = np.zeros(self.written[:rows].size, dtype=bool)
        for values in self.values.values():
            found |= np.isfinite(values[:rows])
        return found

    def settled(self, first_row: int) -> Column:
        """Return what most cells from the first reading on are, and their values."""
        texts = int((self.written & ~self.known)[first_row:].sum())
        counts = {kind: int(np.isfinite(values[first_row:]).sum()) for kind, values in self.values.items()}
        kind = max(counts, key=lambda each: counts[each], default=Kind.EMPTY)
        if texts > counts.get(kind, 0):
            kind = Kind.TEXT
        elif not counts.get(kind):
            kind = Kind.EMPTY
        if {Kind.CLOCK, Kind.SHORT} <= self.values.keys() and kind in (Kind.CLOCK, Kind.SHORT):
            kind = self._hours_after_minutes()
        numbered, day_first = self._days()
        return Column(
            number=self.number,
            kind=kind,
            values=self.values.get(kind, np.full(self.written.size, np.nan)),
            days=numbered,
            ahead=self.ahead,
            unit=self.units.most_common(1)[0][0] if self.units else "",
            decimal=self.decimals.most_common(1)[0][0] if self.decimals else "",
            halves=self.halves,
            day_first=day_first,
        )

    def _hours_after_minutes(self) -> Kind:
        """59:59 goes on as 1:00:00: then two parts are minutes and seconds."""
        clock, short = self.values[Kind.CLOCK], self.values[Kind.SHORT]
        self.values[Kind.CLOCK] = np.where(np.isnan(clock), short, clock)
        return Kind.CLOCK

    def _days(self) -> tuple[Array, bool | None]:
        numbered = np.full(self.written.size, np.nan)
        if not self.parts:
            return numbered, None
        rows = np.concatenate([shape.rows for shape, _ in self.parts])
        dates = [date for _, date in self.parts]
        joined = Date(
            np.concatenate([date.first for date in dates]),
            np.concatenate([date.middle for date in dates]),
            np.concatenate([date.last for date in dates]),
            year_first=dates[0].year_first,
        )
        numbered[rows], day_first = days(joined)
        return numbered, day_first
