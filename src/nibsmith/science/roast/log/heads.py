"""The heads of the columns: names, units, and what they say about a column."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Any

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import Scale
from nibsmith.science.roast.curves import Role
from nibsmith.science.roast.log.shapes import units
from nibsmith.science.roast.log.told import LogScale
from nibsmith.science.tables import load_data

SCALES: dict[str, LogScale] = {"celsius": "C", "fahrenheit": "F", "kelvin": "K"}
_BRACKETS = re.compile(r"^(.*?)[\s,_/]*[(\[{]\s*([^)\]}]*?)\s*[)\]}]\s*$")
_LAST_WORD = re.compile(r"^(.*\S)[\s,_/]+(\S+)$")
_IN = re.compile(r"[\s,]+in$", re.IGNORECASE)
_WORDS = "temp|temperatur|temperature|température|temperatura"
_TEMPERATURE_WORD = re.compile(rf"(^|[\W_])({_WORDS})([\W_]|$)")
_TEMPERATURE = re.compile(rf"(^|[\W_])({_WORDS}|t)([\W_]|$)")
_SCALE_WRITTEN = re.compile(r"°\s?([CF])\b|\b(celsius|fahrenheit)\b|\bunits?\b\W{1,3}([CF])\b", re.IGNORECASE)
_FEW = 2  # cells that a line of heads has at least


class Says(StrEnum):
    """What the words of a head say about the column, besides what a probe measures."""

    ELAPSED = "elapsed"
    TIME = "time"
    DATE = "date"
    INDEX = "index"


@dataclass(frozen=True)
class Head:
    """One head: its name as written without the unit, and the meaning of the unit."""

    name: str
    unit: str = ""

    @property
    def scale(self) -> LogScale | None:
        """The scale that the head names."""
        return SCALES.get(self.unit)

    @property
    def says(self) -> Says | None:
        """What the head says about times and row numbers; nothing where it names a temperature."""
        if self.scale is not None or _TEMPERATURE_WORD.search(self.name.lower()):
            return None
        table: Any = load_data("roast_words")["time"]
        return next((word for word in Says if _holds(self.name, table[word.value])), None)

    @property
    def role(self) -> Role | None:
        """What the head says about where the probe is; ``None`` where it names no temperature at all."""
        table: Any = load_data("roast_words")["roles"]
        if self.unit == "other" or (_holds(self.name, table["other"]) and self.scale is None):
            return None
        found = (role for role in (Role.SETTING, Role.BEAN, Role.AIR) if _holds(self.name, table[role.value]))
        return next(found, Role.UNTOLD)


@dataclass(frozen=True)
class Heads:
    """The heads of all columns, the line they stood in (0: none), and the scale written above them."""

    heads: tuple[Head, ...]
    line: int = 0
    units_line: int = 0
    scale_above: Scale | None = None


def _holds(name: str, words: Sequence[str]) -> bool:
    return _pattern(tuple(words)).search(name.lower().replace("_", " ")) is not None


@lru_cache(maxsize=32)
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """Any of some words that stands by itself, at its sides no letter."""
    every = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<![^\W\d])(?:{every})(?![^\W\d])")


def read_heads(above: Sequence[tuple[int, str]], separator: str, columns: int) -> Heads:
    """Return the heads from the lines above the first reading, of which the nearest is the last.

    Parameters
    ----------
    above : sequence of (int, str)
        Number and text of each line above the first reading.
    separator : str
        What parts the cells.
    columns : int
        How many cells a row of readings has.

    Returns
    -------
    Heads
        One for each column, without a name where no line can be the heads.

    Raises
    ------
    InputError
        If commas must stand for decimals and part the cells too.

    Examples
    --------
    >>> read_heads([(1, "time;beans (°C)")], ";", 2).heads[1]
    Head(name='beans', unit='celsius')
    """
    rows = [(line, _split(text, separator)) for line, text in above if text.strip()]
    scale = _scale_above([text for _, text in above])
    units_line, units_row = 0, [""] * columns
    if len(rows) > 1 and _are_units(rows[-1][1]):
        units_line, units_row = rows[-1][0], rows[-1][1]
        rows.pop()
    while rows and _is_reading(rows[-1][1]):
        rows.pop()
    if not rows or not _fit(rows[-1][1], columns, separator):
        return Heads(
            tuple(Head("", _unit(word)) for word in _fitted(units_row, columns)), 0, units_line, scale
        )
    line, names = rows[-1]
    pairs = zip(_fitted(names, columns), _fitted(units_row, columns), strict=True)
    heads = tuple(_head(name, _unit(word)) for name, word in pairs)
    return Heads(_told_apart(heads), line, units_line, scale)


def _fit(names: Sequence[str], columns: int, separator: str) -> bool:
    """Whether a line can be the heads; refuse where commas must stand for decimals too."""
    if len(names) >= columns:
        return True
    # One head for the times and one for each probe, but two cells for each number.
    if separator == "," and len(names) >= _FEW and columns in (2 * len(names) - 1, 2 * len(names)):
        raise InputError(
            "Commas set apart the cells and the decimals too",
            value=f"{len(names)} heads, {columns} cells in a row",
            advice="Export the log with semicolons or tabs, or with decimal points.",
        )
    return False


def _split(text: str, separator: str) -> list[str]:
    row = next(csv.reader([text.lstrip("#").strip(" ")], delimiter=separator), [])
    return [cell.strip().strip('"').strip() for cell in row]


def _fitted(cells: Sequence[str], columns: int) -> list[str]:
    return [*cells[:columns], *[""] * (columns - len(cells))]


def _are_units(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return bool(filled) and sum(bool(_unit(cell)) for cell in filled) * 2 > len(filled)


def _is_reading(cells: Sequence[str]) -> bool:
    """Whether a line is a row of readings, most of them missing: nothing in it is a word."""
    filled = [cell for cell in cells if cell]
    return bool(filled) and all(cell[0].isdigit() or cell[0] in "+-" for cell in filled)


def _unit(word: str) -> str:
    return units().get(word.strip("()[]{} ").lower(), "") if word else ""


def _head(text: str, unit_below: str) -> Head:
    if match := _BRACKETS.match(text):
        if unit := _unit(match[2]):
            return Head(match[1] or text, unit)
    elif match := _LAST_WORD.match(text):
        # One letter alone can be the name of a probe: it is a unit only behind the word temperature.
        alone = len(match[2]) == 1
        if (unit := _unit(match[2])) and (not alone or _TEMPERATURE.search(match[1].lower())):
            return Head(_IN.sub("", match[1]), unit_below or unit)
    return Head(text, unit_below or _whole(text))


def _whole(text: str) -> str:
    """The unit that a head is by itself: ``min``, ``s``, ``°C``; one letter but s and h may be a name."""
    unit = _unit(text)
    return unit if len(text) > 1 or unit in ("seconds", "hours") else ""


def _told_apart(heads: tuple[Head, ...]) -> tuple[Head, ...]:
    """Add the number of the column to names that stand more than once."""
    names = [head.name for head in heads]
    return tuple(
        Head(f"{head.name} (column {number})", head.unit)
        if head.name and names.count(head.name) > 1
        else head
        for number, head in enumerate(heads, 1)
    )


def _scale_above(lines: Sequence[str]) -> Scale | None:
    """The one scale that the lines above name, where they name one."""
    found = {_letters(match)[0].upper() for line in lines for match in _SCALE_WRITTEN.finditer(line)}
    return None if len(found) != 1 else ("C" if found == {"C"} else "F")


def _letters(match: re.Match[str]) -> str:
    return next(group for group in match.groups() if group)
