"""What comes out of a machine as a linear row, and limits over what is left after something stays."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.science.formulate import (
    Balancer,
    ComingOut,
    Goal,
    Impossible,
    MachineLoss,
    Solution,
    balance,
    batch_of,
    coming_out,
    cost_limit,
    round_to_scale,
    share_limit,
    with_margin,
)
from nibsmith.science.mixture import Limit, Recipe

PRICED = recipe_of({"cocoa_mass": 500.0, "sugar_granulated": 500.0}, [10.0, 2.0])
HALF_LOST = ComingOut({"cocoa_mass": 1.0, "sugar_granulated": 1.0}, 500.0)


@given(
    recipes(),
    st.floats(0.0, 40.0),
    st.floats(0.0, 10.0),
    st.one_of(st.none(), st.floats(0.2, 3.0)),
)
def test_the_row_gives_what_the_batch_gives(
    recipe: Recipe, fixed_g: float, percent: float, end_water: float | None
) -> None:
    loss = MachineLoss(fixed_g, percent, end_water)
    batch = batch_of(recipe, loss=loss)
    assume(batch.poured_g > 0)
    out = coming_out(recipe, loss)
    product_g = sum(out.row[part.label] * part.mass_g for part in recipe.parts) - out.stays_g

    assert product_g == pytest.approx(batch.product_g, rel=1e-9, abs=1e-9)


def test_a_limit_on_the_cost_of_what_comes_out_counts_what_stays() -> None:
    """By hand: 10 m + 2 (1000 - m) = 8 (1000 - 500) gives m = 250."""
    solution = balance(PRICED, [cost_limit(PRICED, high=8.0, out=HALF_LOST)])

    assert isinstance(solution, Solution)
    assert solution.masses_g["cocoa_mass"] == pytest.approx(250.0)


def test_a_larger_batch_of_free_size_leaves_a_smaller_part_behind() -> None:
    """By hand: 6 M = 9 (M - 500) gives M = 1500 at unchanged shares, and 10 m + 1000 = 9 (m + 0) m = 1000."""
    locked = share_limit(PRICED, "cocoa_mass", low=0.5, high=0.5)
    solution = balance(PRICED, [cost_limit(PRICED, high=9.0, out=HALF_LOST), locked], Goal(free_total=True))

    assert isinstance(solution, Solution)
    assert solution.total_g == pytest.approx(1500.0)


def test_a_kept_balance_moves_such_a_limit_too() -> None:
    kept = Balancer(PRICED, [cost_limit(PRICED, high=20.0, out=HALF_LOST)])
    assert kept.solve().masses_g["cocoa_mass"] == pytest.approx(500.0)  # type: ignore[union-attr]
    kept.move({0: (None, 8.0)})

    assert kept.solve().masses_g["cocoa_mass"] == pytest.approx(250.0)  # type: ignore[union-attr]


def test_the_least_such_cost_is_told_where_the_one_asked_cannot_be() -> None:
    """All sugar: 2 a kilogram weighed, of which half comes out."""
    found = balance(PRICED, [cost_limit(PRICED, high=3.0, out=HALF_LOST)])

    assert isinstance(found, Impossible)
    dear = next(clash for clash in found.clashes if clash.limit.unit == "per kg")
    assert dear.works_at == pytest.approx(4.0)


def test_nothing_left_to_divide_by_keeps_no_limit() -> None:
    limit = Limit("cost", "yours", {"a": 2.0}, {"a": 1.0}, high=9.0, less_g=10.0)

    assert limit.gap({"a": 10.0}) == float("inf")
    assert limit.gap({"a": 5.0}) == float("inf")
    assert limit.value({"a": 20.0}) == pytest.approx(4.0)


def test_the_margin_of_rounding_counts_what_stays() -> None:
    """A step of 1 g moves 2 m / (m - 10) at m = 20 by (2 - 4) · 1 / 10."""
    limit = Limit("cost", "yours", {"a": 2.0}, {"a": 1.0}, high=9.0, less_g=10.0)

    assert with_margin(limit, round_to_scale({"a": 20.0}, Decimal(1)), 1.0).high == pytest.approx(8.8)
