"""Courses of temperature for property tests."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from nibsmith.science.roast import Curve

GAP = 1e6


def curves(gap: float = GAP) -> st.SearchStrategy[Curve]:
    """Courses of 2 to 20 readings, 1 to 600 s apart, 0 to 180 °C."""
    steps = st.lists(st.integers(1, 600), min_size=1, max_size=19)

    def build(steps: list[int]) -> st.SearchStrategy[Curve]:
        times = np.concatenate(([0.0], np.cumsum(np.array(steps, dtype=float))))
        values = st.lists(st.integers(0, 180), min_size=times.size, max_size=times.size)
        return values.map(lambda each: Curve(times, np.array(each, dtype=float), gap))

    return steps.flatmap(build)
