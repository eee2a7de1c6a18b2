"""Where the course of a roast turned, and how much heat is counted after it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from nibsmith.science.roast.compare import first_time_at
from nibsmith.science.roast.curves import Curve, Matter
from nibsmith.science.roast.deaths import log_reduction
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class Turn:
    """Where a course turned [s, °C], until when it goes on [s], and what counts after it [log10]."""

    time_s: float
    celsius: float
    end_s: float
    after: float


def turn_of(curve: Curve, matter: Matter = Matter.BEANS) -> Turn:
    """Return where a course turned: where it came near the hottest that it was before it first fell.

    A probe goes on reading after the beans are out. What it reads while they are in rises; from the turn on
    it may be the beans still, or the roaster without them: the readings alone cannot tell.

    Parameters
    ----------
    curve : Curve
        Readings of the beans from where the probe met them [s, °C].
    matter : Matter
        Whole beans, or nibs.

    Returns
    -------
    Turn
        The turn, and the reduction that would be counted from there to the last reading [log10].

    Examples
    --------
    >>> drum = Curve(np.array([0.0, 1200.0, 1260.0, 3000.0]), np.array([24.0, 120.0, 136.0, 136.0]), 2000.0)
    >>> found = turn_of(drum)
    >>> round(found.time_s), round(found.celsius), found.after > 10
    (1256, 135, True)

    References
    ----------
    [bench-judgement]
    """
    table = load("roast")
    fallen = np.flatnonzero(np.maximum.accumulate(curve.celsius) - curve.celsius > table["turn_fall"].value)
    before = curve.celsius[: int(fallen[0])] if fallen.size else curve.celsius
    near = float(before.max()) - table["turn_near"].value
    time_s = first_time_at(curve, near)
    start = curve.start_s if time_s is None else time_s
    after = log_reduction(curve.between(start, curve.end_s), matter) if start < curve.end_s else 0.0
    return Turn(start, near, curve.end_s, after)
