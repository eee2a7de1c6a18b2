"""A logger's file read as a whole: what is in it, put in order, cleaned, and what was understood."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import Array
from nibsmith.science.roast.curves import Note, Question, Roast
from nibsmith.science.roast.log.cells import SEPARATORS, cut
from nibsmith.science.roast.log.columns import Column, Kind, RawColumn
from nibsmith.science.roast.log.heads import Heads, read_heads
from nibsmith.science.roast.log.order import Ordered, gap_limit, merged, put_in_order
from nibsmith.science.roast.log.probes import Read, Source, all_cool, celsius_of, cleaned, sort_out
from nibsmith.science.roast.log.text import Text, decode
from nibsmith.science.roast.log.times import find_times
from nibsmith.science.roast.log.told import Told
from nibsmith.science.roast.log.understood import Understood, Unused

MOST_NOTES = 40
LONGEST_NOTE = 60
_NEAR_THE_TOP = 500
_TWO_AT_LEAST = "A roast needs two at least."


@dataclass(frozen=True)
class LoggedRoast:
    """A roast from a logger's file, and everything that was understood of the file."""

    roast: Roast
    understood: Understood


def read_log(data: bytes, told: Told | None = None) -> LoggedRoast:
    r"""Return the roast that a logger's file holds.

    Parameters
    ----------
    data : bytes
        The file: text with one row a reading, cells set apart by comma, semicolon, tab or bar; decimal point
        or comma; °C or °F; times elapsed or of the day, with a date or without.
    told : Told, optional
        What the maker says beside it; it goes before what the file says.

    Returns
    -------
    LoggedRoast
        The roast, temperatures in °C and times in s, and what was understood of the file.

    Raises
    ------
    InputError
        If the file is no text, empty, too large, holds no columns, no times or no temperatures, or can be
        read two ways.

    Notes
    -----
    Range: up to 16 million bytes and 64 columns. No logger's own format is known here: only what the cells
    and heads say counts.

    Examples
    --------
    >>> log = read_log(b"time;beans (C)\n0:00;24,5\n5:00;88,0\n10:00;118,5\n")
    >>> log.roast.probes[0].name, log.roast.probes[0].readings.celsius.tolist()
    ('beans', [24.5, 88.0, 118.5])

    References
    ----------
    [bench-judgement]
    """
    text = decode(data)
    return _Reading(text, told or Told()).logged()


class _Reading:
    """One file on its way: its cells, its columns, its heads, its times."""

    def __init__(self, text: Text, told: Told) -> None:
        self.text, self.told = text, told
        self.cells = cut(text.data)
        raw = [RawColumn(self.cells, number) for number in range(self.cells.columns)]
        self.first_row = _first_row([column for column in raw if column.values])
        self.columns = [column.settled(self.first_row) for column in raw]
        _check_rows(raw, self.first_row)
        self.heads = self._read_heads()
        self.times = find_times(self.columns, self.heads.heads, told)

    def _read_heads(self) -> Heads:
        first_line = int(self.cells.lines[self.first_row])
        lines = self.text.data.split(b"\n", first_line)[: first_line - 1]
        above = [(number, line.decode("utf-8", "replace")) for number, line in enumerate(lines, 1)]
        return read_heads(above, self.cells.separator, self.cells.columns)

    def logged(self) -> LoggedRoast:
        """Put the rows in order and clean the probes."""
        sources, unused = sort_out(self.columns, self.heads, self.times.used, self.told)
        if not sources:
            raise InputError(
                "No column of temperatures was found",
                value=", ".join(name for name, _ in unused) or None,
                advice="Say which column is the probe in the beans.",
            )
        seconds, before_zero = self._from_zero()
        ordered = put_in_order(seconds, self.told.run)
        rows = ordered.rows
        readings = np.array([celsius_of(source)[rows] for source in sources])
        times, readings, count = merged(seconds[rows], readings)
        times = times if self.times.elapsed else times - times[0]
        reads = self._cleaned(sources, times, readings)
        notes = self._notes(rows, unused)
        roast = Roast(tuple(read.probe for read in reads), notes, questions=_questions(sources, reads))
        set_aside = _SetAside(before_zero, count, reads, unused)
        return LoggedRoast(roast, self._understood(ordered, times, set_aside))

    def _from_zero(self) -> tuple[Array, int]:
        """The times without those before the log's own zero, and how many these were."""
        seconds = self.times.seconds
        seconds[: self.first_row] = np.nan
        if not np.isfinite(seconds).any():
            raise InputError("No row has a time", advice="Check the column of times.")
        before = (seconds < 0) & self.times.elapsed
        kept = np.where(before, np.nan, seconds)
        if not np.isfinite(kept).any():
            raise InputError("Every time lies before zero", advice="Check the column of times.")
        return kept, int(before.sum())

    def _cleaned(self, sources: list[Source], times: Array, readings: Array) -> list[Read]:
        found = [cleaned(source, times, values) for source, values in zip(sources, readings, strict=True)]
        reads = [read for read in found if read is not None]
        if not reads or max(read.found.readings for read in reads) < 2:
            raise InputError(
                "There is one reading or none: nothing can be told from it",
                advice=_TWO_AT_LEAST,
            )
        return reads

    def _notes(self, rows: NDArray[np.intp], unused: list[tuple[str, Unused]]) -> tuple[Note, ...]:
        """The words that stand beside the readings, and the names of columns that are all words."""
        seconds = self.times.seconds
        zero = 0.0 if self.times.elapsed else float(seconds[rows[0]])
        notes: list[Note] = []
        for column in (each for each in self.columns if each.kind is Kind.TEXT):
            written = np.sort(rows[self.cells.lengths[column.number, rows] > 0])
            if written.size <= MOST_NOTES:
                words = ((row, self.cells.text(int(row), column.number)) for row in written)
                notes += [
                    Note(float(seconds[row]) - zero, text[:LONGEST_NOTE]) for row, text in words if text
                ]
            else:
                place = unused.index((self._name(column), Unused.NOTES))
                unused[place] = (self._name(column), Unused.TEXT)
        return tuple(sorted(notes, key=lambda note: note.time_s))

    def _name(self, column: Column) -> str:
        return self.heads.heads[column.number].name or f"column {column.number + 1}"

    def _understood(self, ordered: Ordered, times: Array, set_aside: _SetAside) -> Understood:
        untimed = np.isnan(self.times.seconds)
        untimed[: self.first_row] = False
        head_line = self.heads.line or self.heads.units_line or int(self.cells.lines[self.first_row])
        above = self.text.data.split(b"\n", head_line)[: head_line - 1]
        others = self.cells.others[self.cells.others > int(self.cells.lines[self.first_row])]
        return Understood(
            encoding=self.text.encoding,
            marked=self.text.marked,
            separator=SEPARATORS[self.cells.separator],
            decimal=next((column.decimal for column in self.columns if column.decimal), ""),
            head_line=self.heads.line,
            units_line=self.heads.units_line,
            lines_above=sum(bool(line.strip()) for line in above),
            other_lines=tuple(others.tolist()),
            times=self.times.found,
            rows=int(ordered.rows.size),
            order=ordered.order,
            out_of_order=ordered.went_back,
            run=ordered.run,
            runs=ordered.runs,
            untimed=tuple(self.cells.lines[untimed].tolist()),
            before_zero=set_aside.before_zero,
            merged=set_aside.merged,
            step_s=float(np.median(np.diff(times))) if times.size > 1 else 0.0,
            gaps=_gaps(times),
            start_s=float(times[0]),
            end_s=float(times[-1]),
            probes=tuple(read.found for read in set_aside.reads),
            unused=tuple(set_aside.unused),
        )


@dataclass(frozen=True)
class _SetAside:
    """What was left out or joined on the way."""

    before_zero: int
    merged: int
    reads: list[Read]
    unused: list[tuple[str, Unused]]


def _gaps(times: Array) -> tuple[tuple[float, float], ...]:
    if times.size < 2:
        return ()
    wide = np.flatnonzero(np.diff(times) > gap_limit(times))
    return tuple((float(times[place]), float(times[place + 1])) for place in wide)


def _questions(sources: list[Source], reads: list[Read]) -> tuple[Question, ...]:
    own = [read.question for read in reads if read.question is not None]
    return (*own, *all_cool(sources, reads))


def _check_rows(columns: list[RawColumn], first_row: int) -> None:
    """Refuse one row alone, in which no column can be known for that of the times."""
    for rows in (first_row + _NEAR_THE_TOP, None):  # nearly always two of them stand near the top
        if np.any([column.holding(rows)[first_row:] for column in columns], axis=0).sum() > 1:
            return
    raise InputError("One row of readings is too few: nothing can be told from it", advice=_TWO_AT_LEAST)


def _first_row(columns: list[RawColumn]) -> int:
    """The first row in which at least half of the columns that hold values have one."""
    if not columns:
        raise InputError(
            "There are no numbers in this file", advice="A log has a time and a temperature in each row."
        )
    needed = max(2, len(columns))
    near = np.sum([column.holding(_NEAR_THE_TOP) for column in columns], axis=0) * 2 >= needed
    if near.any():
        return int(near.argmax())
    filled = np.sum([column.holding(None) for column in columns], axis=0)
    enough = filled * 2 >= needed
    return int(enough.argmax() if enough.any() else filled.argmax())
