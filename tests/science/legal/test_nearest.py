"""The smallest change of weights, against scipy's linear solver [scipy]."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from law_recipes import weighed
from nibsmith.science.legal import Move, requirements, smallest_change
from nibsmith.science.mixture import Limit

LABELS = ("a", "b", "c", "d")
NUMBER = st.floats(-5.0, 5.0).map(lambda value: round(value, 3))


def limit(row: dict[str, float], least: float) -> Limit:
    return Limit("figure", "test", row, low=least)


@given(
    st.lists(st.tuples(st.lists(NUMBER, min_size=4, max_size=4), NUMBER), min_size=1, max_size=8),
    st.lists(st.one_of(st.none(), st.floats(0.1, 3.0)), min_size=4, max_size=4),
)
def test_the_least_change_is_the_one_scipy_finds(
    rows: list[tuple[list[float], float]], most: list[float | None]
) -> None:
    limits = [limit(dict(zip(LABELS, row, strict=True)), least) for row, least in rows]
    moves = [Move({label: 1.0}, cap) for label, cap in zip(LABELS, most, strict=True)]
    masses_g = dict.fromkeys(LABELS, 1.0)
    found = smallest_change(limits, masses_g, moves)
    matrix = np.array([row for row, _ in rows])
    needs = np.array([least for _, least in rows]) - matrix.sum(axis=1)
    expected = linprog(np.ones(4), A_ub=-matrix, b_ub=-needs, bounds=[(0.0, cap) for cap in most])
    if expected.status == 2:
        # Both may call a case on the edge either way: then what was found must at least meet the limits.
        assert found is None or np.all(matrix @ np.array(found) >= needs - 1e-6)
    else:
        assert found is not None
        assert sum(found) == pytest.approx(expected.fun, rel=1e-7, abs=1e-7)
        assert np.all(matrix @ np.array(found) >= needs - 1e-7)


def test_nothing_is_changed_where_all_is_met() -> None:
    assert smallest_change([limit({"a": 1.0}, 0.5)], {"a": 1.0}, [Move({"a": 1.0})]) == (0.0,)


def test_what_cannot_be_met_is_said() -> None:
    assert smallest_change([limit({"a": 1.0}, 5.0)], {"a": 1.0}, [Move({"a": 1.0}, 2.0)]) is None
    assert smallest_change([limit({"a": 1.0}, 5.0)], {"a": 1.0}, []) is None


def test_a_swap_costs_both_of_its_weights() -> None:
    # One gram of b in place of a costs two; adding b alone costs one, so the swap is left.
    grams = smallest_change(
        [limit({"b": 1.0}, 3.0)], {"a": 5.0, "b": 1.0}, [Move({"a": -1.0, "b": 1.0}, 5.0), Move({"b": 1.0})]
    )
    assert grams == (0.0, pytest.approx(2.0))


def test_butter_for_the_least_of_cocoa_by_hand() -> None:
    # 33 g mass of 98.5 % solids in 100 g: (32.505 + x) / (100 + x) = 0.35 at x = 2.495 / 0.65 = 3.838.
    bar = weighed(mass=33.0, butter=0.0, sugar=67.0)
    masses_g = {each.label: each.mass_g for each in bar.parts}
    limits = requirements(bar, "eu", "chocolate")
    assert smallest_change(limits, masses_g, [Move({"butter": 1.0})]) == (pytest.approx(2.495 / 0.65),)
