"""The invented workshop that a first start shows: Sallow Lane, two people, two machines, six recipes."""

from __future__ import annotations

from typing import TextIO


def load() -> None:
    """Fill a database that holds no records yet with the demo workshop, in one transaction."""
    from nibsmith.shop.demo.loading import load_workshop

    load_workshop()


def print_sheet(stream: TextIO) -> None:
    """Print the batch sheet of the demo workshop's first recipe, as plain text."""
    from nibsmith.shop.demo.printing import print_first_sheet

    print_first_sheet(stream)
