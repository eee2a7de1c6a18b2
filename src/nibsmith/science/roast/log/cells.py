"""A text cut into rows and cells, without a loop over either."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from nibsmith.science.errors import InputError
from nibsmith.science.tables import load

SEPARATORS = {"\t": "tab", ";": "semicolon", "|": "bar", ",": "comma"}
LONGEST_CELL = 64
_SAMPLE = 60  # lines looked at in three places of the file
_NEW_LINE, _QUOTE = 10, 34
_ONE_OF = 4  # the separator stands alike in at least one line of so many
Bytes = NDArray[np.uint8]
Places = NDArray[np.intp]
Starts = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Cells:
    """Rows that have the usual number of cells: where each cell starts in ``data`` and how long it is.

    ``starts`` and ``lengths`` have one row a column of the file, so that a column lies together. ``lines``
    are their numbers in the file, from one; ``others`` those of lines with more or fewer cells; ``data`` ends
    in enough zeros that a cell can be read past its end.
    """

    data: Bytes
    starts: Starts
    lengths: Starts
    lines: Places
    others: Places
    separator: str

    @property
    def rows(self) -> int:
        """How many rows."""
        return int(self.starts.shape[1])

    @property
    def columns(self) -> int:
        """How many columns."""
        return int(self.starts.shape[0])

    def text(self, row: int, column: int) -> str:
        """Return one cell as text, without quotes and spaces around it."""
        start, length = int(self.starts[column, row]), int(self.lengths[column, row])
        cell = self.data[start : start + length].tobytes().decode("utf-8", "replace")
        return cell.strip().strip('"').strip()


def cut(text: bytes) -> Cells:
    r"""Return the cells of a text by the separator that stands alike in most lines.

    Parameters
    ----------
    text : bytes
        A text in UTF-8 with plain line ends, as ``decode`` gives it.

    Returns
    -------
    Cells
        Those lines that have the usual number of cells; the numbers of the others stand beside them.

    Raises
    ------
    InputError
        If it has more columns than any log of a roast.

    Examples
    --------
    >>> cells = cut(b"time;beans\n0:00;24\n1:00;41\n")
    >>> cells.separator, cells.rows, cells.columns, cells.text(1, 1)
    (';', 3, 2, '24')
    """
    separator = _separator(text)
    data = np.frombuffer(text + b"\n" * (not text.endswith(b"\n")) + bytes(LONGEST_CELL), dtype=np.uint8)
    marks, closing = _marks(data, separator, quoted=b'"' in text)
    last = np.flatnonzero(closing)
    ends = marks[last]
    starts = np.concatenate((np.zeros(1, dtype=np.int32), ends[:-1] + 1))
    count = np.diff(last, prepend=-1) - 1
    written = ends > starts
    usual = _usual(count[written])
    _check_columns(usual + 1)
    fits = (count == usual) & written
    rows = np.flatnonzero(fits)
    # One line after the other: the marks of a row are its separators and its end.
    inside = marks if rows.size == count.size else marks[last[rows][:, None] + np.arange(-usual, 1)]
    behind = np.ascontiguousarray(inside.reshape(rows.size, usual + 1).T)
    first = np.vstack((starts[rows], behind[:-1] + 1))
    others = np.flatnonzero(~fits & written)
    return Cells(data, first, behind - first, rows + 1, others + 1, separator)


def _check_columns(count: int) -> None:
    most = int(load("roast")["log_most_columns"].decimal)
    if count > most:
        raise InputError("This has too many columns for the log of a roast", value=count, limit=most)


def _usual(counts: NDArray[np.intp]) -> int:
    """How many separators most lines have, of those that have any."""
    found = np.bincount(counts)
    return int(found[1:].argmax()) + 1 if found.size > 1 else 0


def _marks(data: Bytes, separator: str, *, quoted: bool) -> tuple[Starts, NDArray[np.bool_]]:
    """Where cells end, and which of these places end a line; what stands between quotes ends none."""
    is_mark = data == ord(separator)
    if quoted:
        quotes = data == _QUOTE
        outside = np.cumsum(quotes, dtype=np.uint8) & 1 == 0
        if not quotes.sum() & 1:  # an odd quote would swallow the rest of the file
            is_mark &= outside
    is_mark |= data == _NEW_LINE
    marks = np.flatnonzero(is_mark).astype(np.int32)
    return marks, data[marks] == _NEW_LINE


def _separator(text: bytes) -> str:
    """Return the separator that most sampled lines have equally often; comma last, as it may be a decimal."""
    lines = _sample(text)
    best, most = "", 0
    for separator in SEPARATORS:
        counts = [_count(line, separator.encode()) for line in lines]
        usual = max(set(counts), key=lambda count: (count > 0, counts.count(count)))
        alike = counts.count(usual) if usual else 0
        enough = alike >= min(2, len(lines)) and alike * _ONE_OF >= len(lines)
        if enough and alike > most + (len(lines) // 10 if best else 0):
            best, most = separator, alike
    if not best:
        raise InputError(
            "There are no columns in this file",
            advice="A row has a time and a temperature, set apart by a comma, semicolon, tab or bar.",
        )
    return best


def _count(line: bytes, separator: bytes) -> int:
    """Count separators outside quotes."""
    if b'"' not in line:
        return line.count(separator)
    return sum(part.count(separator) for part in line.split(b'"')[::2])


def _sample(text: bytes) -> list[bytes]:
    """Lines from the start, the middle and the end; whole lines alone."""
    if text.count(b"\n", 0, 1 << 16) < 3 * _SAMPLE:
        return [line for line in text[: 1 << 16].split(b"\n") if line.strip()]
    size = 1 << 13
    middle, last = len(text) // 2, max(len(text) - size, 0)
    pieces: Iterable[bytes] = (text[:size], text[middle : middle + size], text[last:])
    found = []
    for number, piece in enumerate(pieces):
        lines = piece.split(b"\n")
        whole = lines[(1 if number else 0) : (-1 if number < 2 else None)]
        found += [line for line in whole if line.strip()][:_SAMPLE]
    return found
