"""Cells of a column read by their shape: digits are counted alike, so that each shape is understood once.

``23.5``, ``24.1`` and ``99.9`` are one shape, ``00.0``. What the digits of a shape mean is found once; then
the numbers of all its cells are summed digit by digit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from nibsmith.science.numerics import Array
from nibsmith.science.roast.log.cells import LONGEST_CELL, Cells, Starts
from nibsmith.science.tables import load_data

Rows = NDArray[np.intp]
Bytes = NDArray[np.uint8]
_WORD = 8  # bytes compared at once
_BLOCK = 8192  # rows read together: their bytes stay near the processor
_MOST_SHAPES = 48  # of one length; a column with more is a text
_MOST_DIGITS = 15  # a number of more is read by itself, for its last digit
_ZERO = 48
_AS_ZERO = np.arange(256, dtype=np.uint8)
_AS_ZERO[_ZERO : _ZERO + 10] = _ZERO

NUMBER = re.compile(
    rb"[\s\"']*(?P<sign>[+-]|\xe2\x88\x92)?(?P<whole>0+)?(?:[.,](?P<part>0+)?)?"
    rb"\s*(?P<unit>[^\s0.,:;\"'/-][^0:;\"'/]*)?[\s\"']*"
)
POWER = re.compile(rb"[\s\"']*(?P<all>[+-]?0+(?:[.,]0+)?[eE][+-]?0+)[\s\"']*")


@dataclass(frozen=True, eq=False)
class Shape:
    """Cells of one column that look alike: an example with zeros for digits, their rows, and their bytes."""

    example: bytes
    rows: Rows
    data: Bytes

    def digits(self, start: int, end: int) -> Array:
        """Return the whole numbers that the digits from one place to another make."""
        total = self.data[:, start].astype(np.int64) - _ZERO
        for place in range(start + 1, end):
            total = total * 10 + (self.data[:, place] - np.uint8(_ZERO))
        return total.astype(np.float64)

    def number(self, match: re.Match[bytes], whole: str, part: str) -> Array:
        """Return the numbers that two groups of digits make, the second behind the decimal sign."""
        places = len(match[part] or b"")
        if len(match[whole] or b"") + places > _MOST_DIGITS:
            return self._one_by_one(
                match.span(whole)[0], match.span(part)[1] if places else match.span(whole)[1]
            )
        total = self.digits(*match.span(whole)) if match[whole] else np.zeros(self.rows.size)
        if places:
            # One division of two exact numbers: the same double as reading the digits by themselves.
            total = (total * 10.0**places + self.digits(*match.span(part))) / 10.0**places
        return total

    def _one_by_one(self, start: int, end: int) -> Array:
        return np.array([_float(cell.tobytes()[start:end]) for cell in self.data])

    def texts(self) -> Iterator[str]:
        """Give the cells as texts."""
        for cell in self.data:
            yield cell.tobytes().decode("utf-8", "replace")


def shapes(cells: Cells, column: int) -> Iterator[Shape]:
    r"""Give the shapes of one column; cells that are too long or of too many shapes come as no shape.

    Parameters
    ----------
    cells : Cells
        The cells of the file.
    column : int
        Which column, counted from zero.

    Yields
    ------
    Shape
        Cells that look alike but for their digits.

    Returns
    -------
    iterator of Shape
        Each row of the column comes once at most.

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> [(shape.example, shape.rows.tolist()) for shape in shapes(cut(b"24.5;0\n31.0;1\n9;2\n"), 0)]
    [(b'0', [2]), (b'00.0', [0, 1])]
    """
    for begin in range(0, cells.rows, _BLOCK):
        block = slice(begin, begin + _BLOCK)
        lengths, starts = cells.lengths[column, block], cells.starts[column, block]
        for length in np.flatnonzero(np.bincount(np.minimum(lengths, LONGEST_CELL))):
            if 0 < length < LONGEST_CELL:
                here = np.flatnonzero(lengths == length)
                yield from _of_length(cells.data, here + begin, starts[here], int(length))


def _of_length(data_of_file: Bytes, rows: Rows, starts: Starts, length: int) -> Iterator[Shape]:
    width = -(-length // _WORD) * _WORD
    data = sliding_window_view(data_of_file, width)[starts]
    data[:, length:] = 0
    keys = np.take(_AS_ZERO, data).view(np.uint64)
    for _ in range(_MOST_SHAPES):
        if not rows.size:
            return
        alike = (keys == keys[0]).all(axis=1) if keys.shape[1] > 1 else keys[:, 0] == keys[0, 0]
        example = keys[0].tobytes()[:length]
        if alike.all():
            yield Shape(example, rows, data[:, :length])
            return
        yield Shape(example, rows[alike], data[alike, :length])
        rows, data, keys = rows[~alike], data[~alike], keys[~alike]


@lru_cache(maxsize=1)
def missing_words() -> frozenset[bytes]:
    """Return the words that loggers write where a reading is missing.

    Returns
    -------
    frozenset of bytes
        In small letters.

    Examples
    --------
    >>> b"nan" in missing_words()
    True
    """
    cells: Any = load_data("roast_words")["cells"]
    return frozenset(str(word).encode() for word in cells["missing"])


@lru_cache(maxsize=1)
def units() -> Mapping[str, str]:
    """Return what each way to write a unit means.

    Returns
    -------
    mapping of str to str
        ``{"sec": "seconds", "°c": "celsius"}`` and so on.

    Examples
    --------
    >>> units()["sec"]
    'seconds'
    """
    table: Any = load_data("roast_words")["units"]
    return {str(word): meaning for meaning, words in table.items() for word in words}


def is_missing(example: bytes) -> bool:
    """Return whether a shape stands for no reading.

    Parameters
    ----------
    example : bytes
        One cell of it, its digits made zeros.

    Returns
    -------
    bool
        True for an empty cell too.

    Examples
    --------
    >>> is_missing(b' "NaN"'), is_missing(b"00.0")
    (True, False)
    """
    return example.strip(b" \t\"'").lower() in missing_words()


def read_numbers(shape: Shape) -> tuple[Array, str] | None:
    r"""Return the numbers of a shape and what the unit behind them means.

    Parameters
    ----------
    shape : Shape
        Cells that look alike.

    Returns
    -------
    tuple of array and str, or None
        One number for each cell [as written]; ``None`` where it is no number or has a unit that is not known.

    Examples
    --------
    >>> from nibsmith.science.roast.log.cells import cut
    >>> values, unit = read_numbers(next(shapes(cut(b"24,5 C;0\n31,0 C;1\n"), 0)))
    >>> values.tolist(), unit
    ([24.5, 31.0], 'celsius')
    """
    if POWER.fullmatch(shape.example):
        return np.array([_float(text.strip(" \t\"'").encode()) for text in shape.texts()]), ""
    match = NUMBER.fullmatch(shape.example)
    if match is None or not (match["whole"] or match["part"]):
        return None
    word = (match["unit"] or b"").decode("utf-8", "replace").strip().lower()
    if word and word not in units():
        return None
    values = shape.number(match, "whole", "part")
    return (values if match["sign"] in (None, b"+") else -values), units().get(word, "")


def _float(text: bytes) -> float:
    return float(text.replace(b",", b"."))
