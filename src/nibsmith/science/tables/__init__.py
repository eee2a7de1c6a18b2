"""The numbers of the trade, each with its unit, source, place and status.

Every ``*.toml`` file here is a group of constants; every ``*.csv`` file is a table read by its own room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache
from types import MappingProxyType
from typing import Any

from nibsmith.science.errors import TableError


class Status(StrEnum):
    """How far a value can be trusted; the pages show it."""

    READ = "read"
    READ_SECONDARY = "read-secondary"
    DERIVED = "derived"
    PROXY = "proxy"
    MEMORY = "memory"
    COMMON_PRACTICE = "common-practice"
    JUDGEMENT = "judgement"
    OWN_CALIBRATION = "own-calibration"
    OWN_SHEET = "own-sheet"


STATUS_WORDS: Mapping[Status, str] = MappingProxyType(
    {
        Status.READ: "read in the source",
        Status.READ_SECONDARY: "read in a restatement of the source",
        Status.DERIVED: "computed from read values",
        Status.PROXY: "another food stands in",
        Status.MEMORY: "from memory, not checked",
        Status.COMMON_PRACTICE: "common practice, no source",
        Status.JUDGEMENT: "our own judgement, in no source",
        Status.OWN_CALIBRATION: "from your own readings",
        Status.OWN_SHEET: "from your supplier's sheet",
    }
)


@dataclass(frozen=True, slots=True)
class Constant:
    """One number with where it comes from.

    ``value``, ``low`` and ``high`` are in ``unit``; ``decimal`` is the value exactly as written.
    """

    key: str
    decimal: Decimal
    unit: str
    source: str
    place: str
    status: Status
    low: float | None = None
    high: float | None = None
    note: str = ""

    @property
    def value(self) -> float:
        """The value as a float, in ``unit``."""
        return float(self.decimal)


def _constant(key: str, row: Mapping[str, object]) -> Constant:
    try:
        low, high = row.get("low"), row.get("high")
        return Constant(
            key=key,
            decimal=Decimal(str(row["value"])),
            unit=str(row["unit"]),
            source=str(row["source"]),
            place=str(row.get("place", "")),
            status=Status(str(row["status"])),
            low=None if low is None else float(str(low)),
            high=None if high is None else float(str(high)),
            note=str(row.get("note", "")),
        )
    except (KeyError, ValueError, ArithmeticError) as error:
        raise TableError("A constant is not complete", value=key, advice=f"Check {error}.") from error


def read_text(name: str) -> str:
    """Return the text of one packaged table, such as ``ingredients.csv``."""
    from pathlib import Path

    return Path(__file__).with_name(name).read_text(encoding="utf-8")


@cache
def load(group: str) -> Mapping[str, Constant]:
    """Return the constants of one group: ``load("units")["oz"].decimal``.

    Each entry of ``<group>.toml`` is a table ``[key]`` with ``value``, ``unit``, ``source``, ``status`` and,
    where they apply, ``place``, ``low``, ``high``, ``note``.
    """
    return MappingProxyType({key: _constant(key, row) for key, row in _toml(group).items()})


@cache
def load_rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Return the rows of a packaged CSV file as mappings of column to text."""
    import csv

    return tuple(MappingProxyType(row) for row in csv.DictReader(read_text(name).splitlines()))


@cache
def load_data(name: str) -> Mapping[str, object]:
    """Return a packaged TOML file whose entries are not single constants (kits, laws, aliases)."""
    return MappingProxyType(_toml(name))


def _toml(name: str) -> dict[str, Any]:
    import tomllib

    return tomllib.loads(read_text(f"{name}.toml"), parse_float=Decimal)
