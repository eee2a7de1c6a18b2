"""Grain sizes by volume."""

from __future__ import annotations

from nibsmith.answers.tools.grain_sizes import SizesRead
from nibsmith.paper.chart import Axis, Chart, Line, Mark, Strip

PERCENT = 100


def sizes_chart(read: SizesRead, decimal_sign: str = ".") -> Chart:
    """Return what share of the volume is finer, over the size.

    Parameters
    ----------
    read : SizesRead
        From ``sizes_read``.
    decimal_sign : str
        As the workshop writes numbers.

    Returns
    -------
    Chart
        One strip over sizes spaced by ratio.
    """
    edges = read.table.sizes.edges_um
    finer = [0.0]
    for share in read.table.sizes.shares:
        finer.append(finer[-1] + PERCENT * share)
    shown = [(size, value) for size, value in zip(edges, finer, strict=True) if size > 0]
    quoted = read.quoted
    marks = tuple(
        Mark(size, percent, f"D{percent}")
        for size, percent in ((quoted.d10_um, 10), (quoted.d50_um, 50), (quoted.d90_um, 90))
    )
    curve = Line("", [size for size, _ in shown], [value for _, value in shown])
    strip = Strip("Finer, % of the volume", (curve, *marks), low=0, high=PERCENT)
    says = f"D10 {quoted.d10_um:.1f}, D50 {quoted.d50_um:.1f}, D90 {quoted.d90_um:.1f} µm."
    return Chart("Grain sizes", says, Axis("grain size, µm", log=True), (strip,), decimal_sign=decimal_sign)
