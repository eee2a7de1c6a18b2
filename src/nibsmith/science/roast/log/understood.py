"""What was understood of a log: every choice made, and everything set aside."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from nibsmith.science.roast.curves import Role
from nibsmith.science.roast.log.text import Encoding
from nibsmith.science.roast.log.told import LogScale, TimeUnit


class TimeKind(StrEnum):
    """How the times of a log are written."""

    ELAPSED = "elapsed"
    NUMBER = "number"
    CLOCK = "clock"
    DATE_TIME = "date_time"
    EPOCH = "epoch"
    ROWS = "rows"


class ScaleFrom(StrEnum):
    """Where the scale of a probe is from."""

    HEAD = "head"
    CELLS = "cells"
    ELSEWHERE = "elsewhere"
    TOLD = "told"
    TAKEN = "taken"


class Unused(StrEnum):
    """Why a column is no probe."""

    OTHER_TIME = "other_time"
    ROW_NUMBER = "row_number"
    NO_TEMPERATURE = "no_temperature"
    NOTES = "notes"
    TEXT = "text"
    EMPTY = "empty"


class Order(StrEnum):
    """How the rows stood."""

    RISING = "rising"
    TURNED = "turned"
    SORTED = "sorted"


@dataclass(frozen=True)
class TimesFound:
    """Where the times are from: the column, how it is written, its unit, and what the first time was [s].

    ``inferred`` says that the unit is not written and follows from how long the roast would be otherwise;
    ``first_s`` is seconds of the day for a clock; ``date_column`` names the column of dates.
    """

    name: str
    kind: TimeKind
    unit: TimeUnit | None = None
    inferred: bool = False
    first_s: float = 0.0
    date_column: str = ""
    halves: bool = False


@dataclass(frozen=True)
class ProbeFound:
    """One probe: its name and role, its scale and where that is from, and how many readings of each sort.

    ``low`` and ``high`` are its coldest and hottest reading kept [°C], ``scatter_k`` how far readings lie
    around their course, two in three [K], ``still_s`` the longest time it showed the same [s].
    """

    name: str
    role: Role
    told: bool
    scale: LogScale
    scale_from: ScaleFrom
    readings: int
    missing: int
    impossible: int
    spikes: tuple[float, ...]
    scatter_k: float
    still_s: float
    low: float
    high: float


@dataclass(frozen=True)
class Understood:
    """Everything that was understood of a log, in the order it was settled. Times [s], lines from one."""

    encoding: Encoding
    marked: bool
    separator: str
    decimal: str
    head_line: int
    units_line: int
    lines_above: int
    other_lines: tuple[int, ...]
    times: TimesFound
    rows: int
    order: Order
    out_of_order: int
    run: int
    runs: int
    untimed: tuple[int, ...]
    before_zero: int
    merged: int
    step_s: float
    gaps: tuple[tuple[float, float], ...]
    start_s: float
    end_s: float
    probes: tuple[ProbeFound, ...]
    unused: tuple[tuple[str, Unused], ...] = field(default=())
