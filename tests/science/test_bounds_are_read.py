"""A bound that stands in a table is kept somewhere: a range that nothing reads promises what nobody holds."""

from __future__ import annotations

import re

import pytest

from command_line import ROOT
from nibsmith.science.tables import load

TABLES = ("temper", "temper_states", "temper_seed", "temper_curve", "cool", "flow", "heat_capacity", "keep")
BOUND = re.compile(
    r"(^|_)(valid|least|most|longest|hottest|coldest|warmest|fastest|deepest|thinnest|thickest|strongest|low|high"
    r"|limit|range)(_|$)"
)
SOURCE = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py"))


@pytest.mark.parametrize("table", TABLES)
def test_every_bound_of_a_table_is_read(table: str) -> None:
    bounds = [key for key in load(table) if BOUND.search(key)]
    read = [key for key in bounds if re.search(rf"""["']{key}["']""", SOURCE)]

    assert read == bounds


def test_the_bounds_are_found_at_all() -> None:
    assert {"valid_fat_low", "valid_fat_high", "valid_low", "valid_high"} <= {
        key for key in load("temper_states") if BOUND.search(key)
    }
