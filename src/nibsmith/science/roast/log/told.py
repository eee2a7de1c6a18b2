"""What the maker says beside a log, because no file says it by itself."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from nibsmith.science.quantities import Scale

# What a column may be written in; what a maker says beside it is °C or °F.
LogScale = Literal["C", "F", "K"]


class TimeUnit(StrEnum):
    """What a plain number in the column of times counts, and what the last part of ``12:30`` counts."""

    SECONDS = "seconds"
    MINUTES = "minutes"
    HOURS = "hours"
    MILLISECONDS = "milliseconds"


@dataclass(frozen=True)
class Told:
    """What the maker says about a file; nothing of it is needed where the file says it itself.

    ``scale`` is the scale of every temperature; ``time`` the head or number of the column of times;
    ``time_unit`` what it counts (``12:30`` is minutes and seconds under ``minutes``, hours and minutes under
    ``hours``); ``every_s`` the time between rows of a file without times [s]; ``beans`` and ``air`` the heads
    or numbers of the columns of probes in the beans and in the air; ``run`` which of several runs in one
    file.
    """

    scale: Scale | None = None
    time: str = ""
    time_unit: TimeUnit | None = None
    every_s: float | None = None
    beans: tuple[str, ...] = ()
    air: tuple[str, ...] = ()
    run: int | None = None
