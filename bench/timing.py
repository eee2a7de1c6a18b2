"""What all timings share: one thread, medians, and a row for the table."""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version

ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: what was timed, its median [s], its bound, and what it is compared with."""

    what: str
    median_s: float
    bound: str
    runs: int
    ratio: str = ""


def use_one_thread() -> None:
    """Must be called before numpy is imported."""
    for name in ONE_THREAD:
        os.environ[name] = "1"


def seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def median(work: Callable[[], object], runs: int, warm_up: int = 0) -> float:
    for _ in range(warm_up):
        work()
    return statistics.median(seconds(work) for _ in range(runs))


def machine() -> str:
    """Name what made the figures."""
    packages = ", ".join(f"{name} {version(name)}" for name in ("django", "numpy", "scipy", "highspy"))
    where = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores"
    return f"Python {platform.python_version()} on {where}; {packages}"


def table(rows: list[Row]) -> str:
    """Write the rows as a Markdown table."""
    lines = ["| what | median | bound | runs | compared with |", "|---|---|---|---|---|"]
    lines += [
        f"| {row.what} | {_shown(row.median_s)} | {row.bound} | {row.runs} | {row.ratio} |" for row in rows
    ]
    return "\n".join(lines)


def _shown(value_s: float) -> str:
    return f"{value_s:.2f} s" if value_s >= 1 else f"{value_s * 1000:.3g} ms"
