"""A logger's file of 50,000 rows: understood, cleaned, derived, integrated; beside plainer ways to do less.

Model: h:mm:ss.s, three probes with two decimals, noise of 0.3 K. Understood is everything that ``read_log``
does; derived is the smoothed curve and the rate of change of the beans; integrated is the time above five
temperatures and the reduction. The peers are told the layout beforehand, read nothing but numbers, and check
nothing:

* Python's ``csv`` with ``float`` for every cell, and the sum of heat by straight pieces in a loop;
* ``numpy.loadtxt`` of the three probes alone, with scipy's ``savgol_filter`` and the same sum in whole
arrays.

All sums agree to a millionth before anything is timed. The slope is that of log time on log rows over 50,000,
100,000 and 200,000 rows.
"""

from __future__ import annotations

import csv
import io
import itertools
import math
from collections.abc import Callable
from typing import Any

from timing import Row, median

ROWS = (50_000, 100_000, 200_000)
RUNS, WARM_UP = 21, 3
BOUND_MS = 80
MARKS = (100.0, 110.0, 120.0, 130.0, 140.0)


def measure() -> list[Row]:
    logs = {rows: written(rows) for rows in ROWS}
    data = logs[ROWS[0]]
    agree(data)
    ours = {rows: median(lambda log=log: whole(log), RUNS, WARM_UP) for rows, log in logs.items()}
    reading = median(lambda: understood(data), RUNS, WARM_UP)
    loop = median(lambda: csv_loop(data), 5, 1)
    arrays = median(lambda: loaded(data), RUNS, WARM_UP)
    slope = math.log(ours[ROWS[-1]] / ours[ROWS[0]]) / math.log(ROWS[-1] / ROWS[0])
    first = ours[ROWS[0]]
    peers = (
        f"csv and a loop {loop * 1000:.0f} ms, {loop / first:.1f} times this; loadtxt and savgol_filter "
        f"{arrays * 1000:.0f} ms, {arrays / first:.2f} times this; reading alone {reading * 1000:.0f} ms"
    )
    size = f"{len(data) / 1e6:.2f} MB"
    return [
        Row(
            f"roast log of {ROWS[0]:,} rows, {size}, to the last figure",
            first,
            f"< {BOUND_MS} ms",
            RUNS,
            peers,
        ),
        Row(
            f"the same of {ROWS[-1]:,} rows",
            ours[ROWS[-1]],
            "slope 0.9 to 1.1",
            RUNS,
            f"log time on log rows over {', '.join(f'{rows:,}' for rows in ROWS)}: {slope:.2f}",
        ),
    ]


def written(rows: int) -> bytes:
    """The file, the same every time."""
    import numpy as np

    rng = np.random.default_rng(5)
    times = np.arange(rows) * (5000 / rows)
    beans = 20 + 110 * (1 - np.exp(-times / 1200)) + rng.normal(0, 0.3, rows)
    lines = ["elapsed,beans (°C),air (°C),exhaust (°C)"]
    for time, celsius in zip(times.tolist(), beans.tolist(), strict=True):
        minutes, seconds = divmod(round(time, 3), 60)
        clock = f"{int(minutes) // 60}:{int(minutes) % 60:02d}:{seconds:06.3f}"
        lines.append(f"{clock},{celsius:.2f},{celsius + 30:.2f},{celsius + 10:.2f}")
    return ("\n".join(lines) + "\n").encode()


def understood(data: bytes) -> Any:
    from nibsmith.science.roast.log import read_log

    return read_log(data)


def whole(data: bytes) -> float:
    from nibsmith.science.roast import log_reduction, smooth, time_above

    curve = understood(data).roast.probes[0].curve
    smooth(curve)
    for mark in MARKS:
        time_above(curve, mark)
    return log_reduction(curve)


def csv_loop(data: bytes) -> float:
    from nibsmith.science.roast import Matter, death_times

    table = death_times(Matter.BEANS)
    times, readings = [], []
    for row in list(csv.reader(io.StringIO(data.decode())))[1:]:
        hours, minutes, seconds = row[0].split(":")
        times.append(int(hours) * 3600 + int(minutes) * 60 + float(seconds))
        readings.append([float(cell) for cell in row[1:]])
    law = list(zip(table.celsius.tolist(), table.minutes.tolist(), strict=True))
    total = 0.0
    for place in range(1, len(times)):
        one, two = readings[place - 1][0], readings[place][0]
        mean = _summed_to(two, law) - _summed_to(one, law)
        rate = mean / (two - one) if two != one else _rate(one, law)
        total += (times[place] - times[place - 1]) / 60 * rate
    return total


def _rate(celsius: float, law: list[tuple[float, float]]) -> float:
    if celsius < law[0][0]:
        return 0.0
    for (low, first), (high, last) in itertools.pairwise(law):
        if celsius < high:
            return 1 / (first * (last / first) ** ((celsius - low) / (high - low)))
    return 1 / law[-1][1]


def _summed_to(celsius: float, law: list[tuple[float, float]]) -> float:
    total = 0.0
    for (low, first), (high, last) in itertools.pairwise(law):
        if celsius <= low:
            return total
        slope = math.log(last / first) / (high - low)
        total += (1 - math.exp(-slope * (min(celsius, high) - low))) / (slope * first)
    return total + max(celsius - law[-1][0], 0.0) / law[-1][1]


def loaded(data: bytes) -> float:
    import numpy as np
    from scipy.signal import savgol_filter

    from nibsmith.science.roast import Matter, death_times
    from nibsmith.science.roast.deaths import mean_rate

    probes = np.loadtxt(io.BytesIO(data), delimiter=",", skiprows=1, usecols=(1, 2, 3), encoding="utf-8")
    beans, step = probes[:, 0], 5000 / len(probes)
    savgol_filter(beans, 2 * round(30 / step) + 1, 1)
    savgol_filter(beans, 2 * round(30 / step) + 1, 1, deriv=1, delta=step)
    for mark in MARKS:
        np.count_nonzero(beans > mark)
    return float(mean_rate(death_times(Matter.BEANS), beans[:-1], beans[1:]).sum() * step / 60)


def agree(data: bytes) -> None:
    ways: list[Callable[[bytes], float]] = [whole, csv_loop, loaded]
    figures = [way(data) for way in ways]
    # The arrays take even steps; the file rounds its times to a thousandth of a second.
    assert max(figures) - min(figures) < 1e-6 * max(figures), figures
