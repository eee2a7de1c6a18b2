"""Fewer points for a picture, with every peak kept: of each stretch its lowest and its highest point."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, pairwise

from nibsmith.paper.chart.shapes import Numbers, is_number
from nibsmith.science.errors import InputError

Point = tuple[float, float]


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
    (True, 9.0, (0, 0.0), (999, 0.0))
    """
    if most < 4:
        raise InputError("A curve needs more points than this", value=most, limit=4)
    found = list(_runs(xs, ys))
    total = sum(len(run) for run in found)
    if total <= most:
        return found
    return [_of_run(run, max(4, most * len(run) // total)) for run in found]


def _runs(xs: Numbers, ys: Numbers) -> Iterator[list[Point]]:
    run: list[Point] = []
    for x, y in zip(xs, ys, strict=True):
        if x is not None and y is not None and is_number(x) and is_number(y):
            run.append((x, y))
        elif run:
            yield run
            run = []
    if run:
        yield run


def _of_run(run: Sequence[Point], most: int) -> list[Point]:
    if len(run) <= most:
        return list(run)
    stretches = (most - 2) // 2
    inner = len(run) - 2
    edges = [1 + inner * number // stretches for number in range(stretches + 1)]
    kept = [run[0]]
    for start, end in pairwise(edges):
        kept += _ends(run, start, end)
    return [*kept, run[-1]]


def _ends(run: Sequence[Point], start: int, end: int) -> list[Point]:
    """Return the lowest and the highest point of a stretch, in the order in which they come."""
    if end <= start:
        return []
    heights = [y for _, y in islice(run, start, end)]
    low, high = heights.index(min(heights)), heights.index(max(heights))
    return [run[start + at] for at in sorted({low, high})]
