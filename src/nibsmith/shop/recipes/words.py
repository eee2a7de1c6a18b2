"""The words a person reads for the forms of a product."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from nibsmith.science.mixture import Form

FORMS: Mapping[str, str] = MappingProxyType(
    {
        Form.BAR: "bar",
        Form.DROPS: "drops",
        Form.FLAKES: "flakes or vermicelli",
        Form.FILLED: "filled bar",
        Form.PRALINE: "praline",
        Form.DRINKING: "drinking tablet",
    }
)
