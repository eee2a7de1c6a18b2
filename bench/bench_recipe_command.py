"""``nibsmith recipe`` as a whole process, as a maker types it, beside Python doing nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from timing import Row, median

ROOT = Path(__file__).resolve().parents[1]
RECIPE = ROOT / "examples" / "weir-lane-68.toml"
RUNS = 11


def measure() -> list[Row]:
    command = [sys.executable, "-P", "-m", "nibsmith", "recipe", str(RECIPE)]
    whole = median(lambda: subprocess.run(command, stdout=subprocess.DEVNULL, check=True), RUNS, warm_up=2)
    empty = median(lambda: subprocess.run([sys.executable, "-P", "-c", ""], check=True), RUNS, warm_up=2)
    compared = f"{whole / empty:.1f} times Python that does nothing ({empty * 1000:.0f} ms)"
    return [Row("`nibsmith recipe` of one file, whole process", whole, "< 600 ms", RUNS, compared)]
