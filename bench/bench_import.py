"""Loading the science, each time in a new process, beside loading numpy; Python's own start is taken off.

The core is what a recipe needs: what it is made of, its weights, names, keeping and cost. The rooms of the
physics are told one by one.
"""

from __future__ import annotations

import statistics
import subprocess
import sys

from timing import Row, seconds

CORE = ("mixture", "formulate", "legal", "label", "keep", "money", "kit")
PHYSICS = ("flow", "grind", "temper", "cool", "roast")
RUNS = 21


def measure() -> list[Row]:
    loads = {
        "numpy": "import numpy",
        "the core": "; ".join(f"import nibsmith.science.{name}" for name in CORE),
        **{name: f"import nibsmith.science.{name}" for name in PHYSICS},
    }
    found = taken(loads)
    numpy_s = found.pop("numpy")
    physics = ", ".join(f"{name} {found[name] / numpy_s:.1f}" for name in PHYSICS)
    words = f"{found['the core'] / numpy_s:.1f} times numpy ({numpy_s * 1000:.0f} ms); {physics} times"
    return [Row("loading the science core", found["the core"], "1.5 times numpy", RUNS, words)]


def taken(loads: dict[str, str]) -> dict[str, float]:
    """Time each, taking turns; the median less that of Python doing nothing [s]."""
    codes = {"nothing": "", **loads}
    times: dict[str, list[float]] = {name: [] for name in codes}
    for _ in range(RUNS):
        for name, code in codes.items():
            command = [sys.executable, "-P", "-c", code]
            times[name].append(seconds(lambda command=command: subprocess.run(command, check=True)))  # type: ignore[misc]
    empty_s = statistics.median(times.pop("nothing"))
    return {name: statistics.median(all_s) - empty_s for name, all_s in times.items()}
