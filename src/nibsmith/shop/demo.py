"""The invented workshop that a first start shows."""

from __future__ import annotations

from typing import TextIO


def load() -> None:
    """Fill a database that was just made with the demo workshop, in one transaction."""


def print_sheet(stream: TextIO) -> None:
    """Print the batch sheet of the demo workshop's first recipe, as plain text."""
