"""Loading the science, each time in a new process, beside loading numpy; Python's own start is taken off.

The core is what a recipe needs: what it is made of, its weights, names, keeping and cost. Its fronts load a
module when it is first used, so three loads are told: the fronts, what a use loads, and all behind them.
"""

from __future__ import annotations

import statistics
import subprocess
import sys

from timing import Row, seconds

CORE = ("mixture", "formulate", "legal", "label", "keep", "money", "kit")
PHYSICS = ("flow", "grind", "temper", "cool", "roast")
RUNS = 21
USES = {
    "a judged recipe": (("mixture", "Recipe, part"), ("legal", "judge_all, jurisdictions")),
    "a scaled one": (("mixture", "Recipe, part"), ("formulate", "scale_to_total, round_to_scale")),
    "its flow": (("flow", "Conditions, flow, flow_matter, limits_of"),),
    "a grinding": (("grind", "SizeReading, fit_readings"),),
    "a cooling": (("cool", "Faces, cool_bar, usual_slab"),),
    "a roast": (("roast", "Curve, roast_chart, split_loss"),),
}


def measure() -> list[Row]:
    uses = {name: _lines(*rooms) for name, rooms in USES.items()}
    found = taken(
        {
            "numpy": "import numpy",
            "core": "; ".join(f"import nibsmith.science.{name}" for name in CORE),
            "physics": "; ".join(f"import nibsmith.science.{name}" for name in PHYSICS),
            "all": _lines(*((name, "*") for name in CORE)),
            **uses,
        }
    )
    numpy_s = found.pop("numpy")
    ratio = {name: f"{time_s / numpy_s:.2f}" for name, time_s in found.items()}
    fronts = f"{ratio['core']} times numpy ({numpy_s * 1000:.0f} ms); the physics {ratio['physics']} times"
    used = ", ".join(f"{name} {ratio[name]}" for name in USES)
    return [
        Row("loading the science core", found["core"], "1.5 times numpy", RUNS, fronts),
        Row("the same with all that stands in it", found["all"], "", RUNS, f"{ratio['all']} times"),
        Row("loading what a use asks for", found["a judged recipe"], "", RUNS, f"{used} times"),
    ]


def _lines(*rooms: tuple[str, str]) -> str:
    return "; ".join(f"from nibsmith.science.{room} import {names}" for room, names in rooms)


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
