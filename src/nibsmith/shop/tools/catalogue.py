"""The tools, in the order of a batch."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from nibsmith.shop.tools.benches import cooling, damp, grinding, pour, tempering
from nibsmith.shop.tools.showing import Bench

IN_ORDER = (
    grinding.BENCH,
    pour.BENCH,
    tempering.BENCH,
    cooling.BENCH,
    damp.BENCH,
)
BENCHES: Mapping[str, Bench] = MappingProxyType({tool.key: tool for tool in IN_ORDER})
