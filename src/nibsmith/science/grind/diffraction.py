"""A table from a laser-diffraction instrument: which column is what, and what was understood of it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise, takewhile
from types import MappingProxyType

from nibsmith.science.errors import InputError
from nibsmith.science.grind.sizes import MeasuredSizes
from nibsmith.science.tables import load

LIMIT_BYTES = 1_000_000
_LEAST_ROWS = 4
_MICROMETRES = MappingProxyType({"mm": 1000.0, "µm": 1.0, "nm": 1 / 1000})
_SPELT = MappingProxyType({"um": "µm", "μm": "µm", "micron": "µm", "microns": "µm"})
_UNIT = re.compile(r"(?<![a-zµμ])(mm|µm|μm|um|microns?|nm)(?![a-z])", re.IGNORECASE)
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
# How far a column of shares may be from 100 % to be taken for one: printed shares are rounded.
SUM_TOLERANCE_PERCENT = 2.0


@dataclass(frozen=True, slots=True)
class SizeTable:
    """A distribution, and what was understood of the table it came from."""

    sizes: MeasuredSizes
    understood: tuple[str, ...]


def read_size_table(text: str) -> SizeTable:
    r"""Return the size distribution in a table of sizes and volume shares.

    The first column is the size, in the unit that its head names (mm, µm or micron, nm), else in µm; the
    last is the volume: finer than the size, coarser than it, or in the class that ends at it. Which of the
    three is seen by how it runs and what it sums to.

    Parameters
    ----------
    text : str
        Lines of numbers parted by tabs, semicolons, commas or spaces; lines without numbers are left out.

    Returns
    -------
    SizeTable
        The distribution, and a report in sentences.

    Raises
    ------
    InputError
        If the text is too long, has fewer than four rows, can be read two ways, its shares are none, or its
        sizes cannot be those of ground cocoa.

    Examples
    --------
    >>> table = read_size_table("size;finer\n2;0\n10;40\n30;90\n60;100")
    >>> round(table.sizes.size(0.9), 1), table.understood[-1]
    (30.0, 'The last column is the share finer than the size.')

    References
    ----------
    [psd-formulas]
    """
    if len(text) > LIMIT_BYTES:
        raise InputError("The table is too long", value=f"{len(text)} characters", limit=f"{LIMIT_BYTES}")
    rows, left_out, sign = _rows(text)
    if len(rows) < _LEAST_ROWS:
        raise InputError("Too few rows with a size and a share", value=len(rows), limit=_LEAST_ROWS)
    lines = "1 line" if left_out == 1 else f"{left_out} lines"
    report = [f"{len(rows)} rows were read, {lines} without them left out."]
    if sign:
        report.append("Commas were read as decimal signs.")
    unit = _unit(text)
    report.append(f"The sizes were read in {unit or 'µm, for their head names no unit'}.")
    if rows != sorted(rows):
        rows.sort()
        report.append("The rows were put in order of size.")
    _check_rows(rows)
    times = _MICROMETRES[unit or "µm"]
    sizes, meaning = _distribution([times * row[0] for row in rows], [row[1] for row in rows])
    _check_sizes(sizes, unit)
    return SizeTable(sizes, (*report, meaning))


def _unit(text: str) -> str:
    """The unit that the head of the sizes names; nothing where it names none."""
    lines = (line.strip() for line in text.splitlines())
    heads = takewhile(lambda line: not _NUMBER.fullmatch(re.split(r"[;,\s]", line)[0]), lines)
    # The line next to the figures first, and in it what stands first: the sizes.
    found = (_UNIT.search(line) for line in reversed(list(heads)))
    named = next((one[1].lower() for one in found if one), "")
    return _SPELT.get(named, named)


def _check_sizes(sizes: MeasuredSizes, unit: str) -> None:
    span, d90_um = load("grind")["laser_d90"], sizes.size(90 / 100)
    least, most = span.low or 0.0, span.high or math.inf
    if not least <= d90_um <= most:
        raise InputError(
            "Ground cocoa has no grains of this size",
            value=f"nine tenths finer than {d90_um:.3g} µm",
            limit=f"{least:g} to {most:g} µm",
            advice="Check the unit in the head of the sizes."
            if unit
            else "Name the unit in their head: (mm).",
        )


def _rows(text: str) -> tuple[list[tuple[float, float]], int, bool]:
    """Pairs of size and share, how many lines had none, and whether commas are decimal signs."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    inside = any(re.search(r"[;\t]", line) for line in lines)
    spaced = any(re.search(r"\d\s+[\d.,]", line) for line in lines)
    commas = any(re.search(r"\d,\d", line) for line in lines)
    decimal = commas and (inside or spaced)
    separator = re.compile(r"[;\t]" if inside else r"\s+" if decimal or not commas else r"\s*,\s*")
    rows = []
    for line in lines:
        fields = [field.strip() for field in separator.split(line) if field.strip()]
        if len(fields) >= 2 and all(_NUMBER.fullmatch(field) for field in (fields[0], fields[-1])):
            rows.append((_number(fields[0]), _number(fields[-1])))
    if commas and not decimal and any(line.count(",") != 1 for line in lines if _NUMBER.match(line)):
        raise InputError(
            "Commas in this table can be decimal signs or part the columns",
            advice="Part the columns with tabs or semicolons.",
        )
    return rows, len(lines) - len(rows), decimal


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _check_rows(rows: Sequence[tuple[float, float]]) -> None:
    if any(size < 0 or share < 0 for size, share in rows):
        raise InputError("Sizes and shares are zero or more", value=min(min(row) for row in rows))
    twice = next((a[0] for a, b in pairwise(rows) if a[0] == b[0]), None)
    if twice is not None:
        raise InputError("A size stands in the table twice", value=f"{twice:g} µm")


def _distribution(sizes: list[float], shares: list[float]) -> tuple[MeasuredSizes, str]:
    for whole in (100.0, 1.0):
        values = [share / whole for share in shares]
        found = _finer(values)
        if found is not None:
            return _of_finer(sizes, found[0]), f"The last column is the share {found[1]}."
    raise InputError(
        "The last column is neither a share finer, a share coarser nor a share in each class",
        value=f"it sums to {sum(shares):g} and ends at {shares[-1]:g}",
        advice="Give the size in µm first and the volume in percent last.",
    )


def _finer(values: list[float]) -> tuple[list[float], str] | None:
    """Shares finer than each size from a column of shares, and what the column was; None where it is none."""
    near = SUM_TOLERANCE_PERCENT / 100
    if all(a <= b for a, b in pairwise(values)) and abs(values[-1] - 1) <= near:
        return values, "finer than the size"
    if all(a >= b for a, b in pairwise(values)) and abs(values[0] - 1) <= near:
        return [1 - value for value in values], "coarser than the size"
    if abs(sum(values) - 1) <= near:
        return list(accumulate(values)), "in the class that ends at the size"
    return None


def _of_finer(sizes: list[float], finer: list[float]) -> MeasuredSizes:
    """Classes between the sizes; what is finer than the first lies in a class of the same width below it."""
    kept = [(size, share / finer[-1]) for size, share in zip(sizes, finer, strict=True) if size > 0]
    edges, sums = [pair[0] for pair in kept], [pair[1] for pair in kept]
    if sums[0] > 0:
        edges.insert(0, edges[0] ** 2 / edges[1])
        sums.insert(0, 0.0)
    shares = [b - a for a, b in pairwise(sums)]
    return MeasuredSizes(tuple(edges), tuple(shares))
