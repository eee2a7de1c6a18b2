"""Tables of the demo as the services take them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any


def number(value: Any) -> Any:
    """Return a whole number as a decimal too, as forms give it; leave everything else as it is."""
    return Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value


def numbers(card: Mapping[str, Any]) -> dict[str, Any]:
    """Return a table with its whole numbers as decimals."""
    return {name: number(value) for name, value in card.items()}


def without(card: Mapping[str, Any], *names: str) -> dict[str, Any]:
    """Return a table without some of its keys."""
    return {key: value for key, value in card.items() if key not in names}
