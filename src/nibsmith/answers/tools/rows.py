"""Rows of numbers as people type them or machines write them: two or three figures a line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from nibsmith.science.errors import InputError

LONGEST = 2_000_000  # characters; a day of readings once a second is far shorter
MOST_ROWS = 100_000
_NUMBER = r"[-+\u2212]?\d+(?:[.,]\d+)?"
_CLOCK = r"\d{1,3}(?::[0-5]?\d){1,2}"
_CELL = re.compile(rf"^({_CLOCK}|{_NUMBER})\s*([^\d\s:.,;+\-].*)?$")
MINUTES, SECONDS = 60, 1
_SHOWN = 40  # signs of a line that a refusal shows


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of numbers, and how many lines without any were left out."""

    rows: tuple[tuple[float, ...], ...]
    left_out: int


def rows_of(text: str, names: Sequence[str], optional: int = 0, clock_unit: int = MINUTES) -> Rows:
    r"""Return rows of numbers from a text of lines.

    Cells are parted by semicolons, tabs, a comma and a space, or spaces; a comma inside a number is its
    decimal sign, unless commas are the only thing that parts the cells. A unit may stand behind a number.
    ``3:20`` is three minutes and twenty seconds, in minutes; ``1:03:20`` has hours before.

    Parameters
    ----------
    text : str
        One row a line; lines may also be parted by ``/``.
    names : sequence of str
        What stands in the columns, for refusals.
    optional : int
        How many of the last columns may be missing.
    clock_unit : int
        Seconds in the unit that a clock is counted in: 60 for minutes, 1 for seconds.

    Returns
    -------
    Rows
        As long as ``names``, or shorter by what is optional.

    Raises
    ------
    InputError
        With the line that cannot be read, or where there are none or too many.

    Examples
    --------
    >>> rows_of("9 h 95 µm\n24 h  45,5 µm", ["hours", "size"]).rows
    ((9.0, 95.0), (24.0, 45.5))
    >>> rows_of("time;temperature\n0:30;31,2\n1:00;29,8", ["time", "temperature"])
    Rows(rows=((0.5, 31.2), (1.0, 29.8)), left_out=1)
    """
    if len(text) > LONGEST:
        raise InputError("This is too long", value=f"{len(text)} characters", limit=LONGEST)
    shape = _Shape(tuple(names), optional, clock_unit)
    found: list[tuple[float, ...]] = []
    left_out = 0
    for number, line in _lines(text):
        cells = _cells(line)
        if not any(_CELL.match(cell) for cell in cells):
            left_out += 1
            continue
        found.append(shape.row(cells, number, line))
        if len(found) > MOST_ROWS:
            raise InputError("There are too many rows", value=f"more than {MOST_ROWS}", limit=MOST_ROWS)
    if not found:
        raise InputError("There is no row of numbers in it", advice=f"Write lines of {shape.example}.")
    return Rows(tuple(found), left_out)


def _lines(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(re.split(r"\r\n|\r|\n|\s/\s", text), 1):
        if line.strip():
            yield number, line.strip()


def _cells(line: str) -> list[str]:
    """Part a line into cells, with units joined to their number."""
    if ";" in line or "\t" in line:
        return [cell.strip() for cell in re.split(r"[;\t]", line)]
    if re.search(r",\s", line):
        return [cell.strip() for cell in line.split(",")]
    words = line.split()
    if len(words) == 1 and "," in line:
        return line.split(",")
    cells: list[str] = []
    for word in words:
        if cells and not re.match(r"[-+\u2212]?\d", word):
            cells[-1] += f" {word}"
        else:
            cells.append(word)
    return cells


@dataclass(frozen=True, slots=True)
class _Shape:
    """What a row holds."""

    names: tuple[str, ...]
    optional: int
    clock_unit: int

    @property
    def example(self) -> str:
        return ", ".join(self.names)

    @property
    def count(self) -> str:
        most = len(self.names)
        return f"{most - self.optional} to {most}" if self.optional else str(most)

    def row(self, cells: list[str], number: int, line: str) -> tuple[float, ...]:
        while cells and not cells[-1]:
            cells.pop()
        if not len(self.names) - self.optional <= len(cells) <= len(self.names):
            what = f"Line {number} does not hold {self.count} numbers"
            raise InputError(what, value=line[:_SHOWN], advice=f"Write {self.example}.")
        return tuple(self._value(cell, number, name) for cell, name in zip(cells, self.names, strict=False))

    def _value(self, cell: str, number: int, name: str) -> float:
        match = _CELL.match(cell)
        if not match:
            raise InputError(f"Line {number}: the {name} cannot be read", value=cell[:_SHOWN])
        if ":" in match[1]:
            *hours, minutes, seconds = (float(part) for part in match[1].split(":"))
            return (3600 * sum(hours) + 60 * minutes + seconds) / self.clock_unit
        return float(match[1].replace(",", ".").replace("\u2212", "-"))
