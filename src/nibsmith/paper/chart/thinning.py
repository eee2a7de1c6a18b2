"""Fewer points for a picture, with every peak kept: of each stretch its lowest and its highest point."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from nibsmith.paper.chart.shapes import Numbers, known
from nibsmith.science.errors import InputError

Point = tuple[float, float]
Floats = NDArray[np.float64]
Places = NDArray[np.intp]


def thinned(xs: Numbers, ys: Numbers, most: int) -> list[list[Point]]:
    """Return the runs of points between gaps, with at most about ``most`` points in all.

    The axis is cut into stretches of the same number of points; of each the lowest and the highest stay, in
    their order, so that no peak and no trough is lost. The ends of a run always stay.

    Parameters
    ----------
    xs, ys : sequence of float or None
        The points; ``None`` or not a number ends a run.
    most : int
        How many points are wanted, at least 4.

    Returns
    -------
    list of list of (float, float)
        Runs of at least one point.

    Raises
    ------
    InputError
        If fewer than 4 points are wanted.

    Examples
    --------
    >>> ys = [0.0] * 500 + [9.0] + [0.0] * 499
    >>> run, = thinned(list(range(1000)), ys, 40)
    >>> len(run) <= 40, max(y for _, y in run), run[0], run[-1]
    (True, 9.0, (0.0, 0.0), (999.0, 0.0))
    """
    if most < 4:
        raise InputError("A curve needs more points than this", value=most, limit=4)
    across, up = known(xs), known(ys)
    runs = list(_runs(across, up))
    total = sum(run.size for run in runs)
    return [_of_run(across[run], up[run], max(4, most * run.size // total)) for run in runs]


def _runs(xs: Floats, ys: Floats) -> Iterator[Places]:
    """Yield the places between gaps."""
    there = np.flatnonzero(~(np.isnan(xs) | np.isnan(ys)))
    if there.size:
        yield from np.split(there, np.flatnonzero(np.diff(there) > 1) + 1)


def _of_run(xs: Floats, ys: Floats, most: int) -> list[Point]:
    kept = np.arange(xs.size) if xs.size <= most else _kept(ys, (most - 2) // 2)
    return list(zip(xs[kept].tolist(), ys[kept].tolist(), strict=True))


def _kept(ys: Floats, stretches: int) -> Places:
    """Return both ends of a run, and of each stretch between them its lowest and its highest place."""
    inner = np.array_split(np.arange(1, ys.size - 1), stretches)
    found = [stretch[[ys[stretch].argmin(), ys[stretch].argmax()]] for stretch in inner if stretch.size]
    return np.unique(np.concatenate([[0], *found, [ys.size - 1]]))
