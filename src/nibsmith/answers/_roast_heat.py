"""The heat that counts for a roast, and how much longer the beans would have had to stay."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from nibsmith.answers._roast_record import RoastRecord
from nibsmith.answers.roast_log import clock
from nibsmith.answers.wording import degrees
from nibsmith.science.roast import DeathTimes, Reduction, death_times, reduction_with_range, weibull_reduction
from nibsmith.science.tables import load

# A reduction this little under a mark is the mark: far below the last digit shown.
MARK_TOLERANCE = 1e-9
_MINUTE = 60
_DIGITS = 6  # of a second, before it is rounded up to whole ones


@dataclass(frozen=True, eq=False)
class Heat:
    """The reduction by the table with its range, by the maker's own parameters if any, the mark [log10]."""

    table: Reduction
    own: float | None
    least: float

    @property
    def counted(self) -> float:
        """The smaller of the two [log10]."""
        return self.table.value if self.own is None else min(self.table.value, self.own)

    @property
    def low(self) -> float:
        """The low end of the range, no higher than what counts [log10]."""
        return min(self.table.low, self.counted)

    @property
    def high(self) -> float:
        """The high end of the range [log10]."""
        return max(self.table.high, self.counted)

    @property
    def short(self) -> bool:
        """Whether it falls short of the least for a single heat step."""
        return self.counted < self.least - MARK_TOLERANCE


def heat_of(record: RoastRecord) -> Heat:
    """Return the heat that counts; the probes are in the beans and their uncertainty is told."""
    reduction = reduction_with_range(record.counted, record.matter)
    own = None if record.weibull is None else weibull_reduction(reduction.counted, record.weibull)
    return Heat(reduction, own, load("roast")["least_reduction"].value)


def longer_remedy(heat: Heat, record: RoastRecord) -> tuple[float, str] | None:
    """Return how many whole seconds longer would do at the last temperature, and the sentence of it."""
    if not heat.short:
        return None
    last = float(heat.table.counted.celsius[-1])
    minutes = _missing(heat.table.value, heat.least, death_times(record.matter), last)
    if record.weibull is not None and heat.own is not None:
        power = 1 / record.weibull.shape
        own = _missing(heat.own**power, heat.least**power, record.weibull.times(), last)
        minutes = max(minutes, own)
    # Longer than the roast itself is no way out: then it was too cool.
    if minutes * _MINUTE > heat.table.counted.duration_s:
        return None
    seconds = math.ceil(round(minutes * _MINUTE, _DIGITS))
    ended = min(float(probe.curve.celsius[-1]) for probe in record.counted)
    mark = f"{heat.least:g} tenfold reductions"
    sentence = (
        f"Next time keep the {record.what} {clock(seconds)} longer at the {degrees(ended)} they ended at: "
        f"that would come to an estimated {mark}."
    )
    return float(seconds), sentence


def _missing(reached: float, wanted: float, times: DeathTimes, celsius: float) -> float:
    """Minutes at a temperature that are missing; infinite where nothing counts there."""
    if reached >= wanted:
        return 0.0
    rate = float(times.rate(np.array([celsius]))[0])
    return (wanted - reached) / rate if rate else math.inf
