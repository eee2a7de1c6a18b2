"""The tools, in the order of a batch."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from nibsmith.shop.tools.benches import (
    cooling,
    curve,
    damp,
    faults,
    folding,
    grinding,
    pour,
    roast,
    seed,
    sizes,
    tempering,
)
from nibsmith.shop.tools.showing import Bench

IN_ORDER = (
    roast.BENCH,
    grinding.BENCH,
    sizes.BENCH,
    pour.BENCH,
    tempering.BENCH,
    seed.BENCH,
    curve.BENCH,
    folding.BENCH,
    cooling.BENCH,
    damp.BENCH,
    faults.BENCH,
)
BENCHES: Mapping[str, Bench] = MappingProxyType({tool.key: tool for tool in IN_ORDER})
