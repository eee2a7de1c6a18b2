"""Draws: they are what their distribution says, the same every time, and tell which input widens most."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from nibsmith.science.errors import InputError
from nibsmith.science.numerics import (
    DRAWS,
    LogNormal,
    Triangle,
    alone,
    drawn,
    quantile,
    scores,
    variance_shares,
    widest,
)


def test_a_triangle_is_drawn_as_an_independent_library_draws_it() -> None:
    values = np.sort(drawn({"size": Triangle(15.0, 18.0, 30.0)})["size"])

    expected = stats.triang(c=0.2, loc=15, scale=15).ppf((np.arange(DRAWS) + 0.5) / DRAWS)

    assert values == pytest.approx(expected, rel=1e-12)


def test_a_factor_is_drawn_as_an_independent_library_draws_it() -> None:
    values = np.sort(drawn({"error": LogNormal(3.0, 2.0)})["error"])

    expected = stats.lognorm(s=np.log(2), scale=3).ppf((np.arange(DRAWS) + 0.5) / DRAWS)

    assert values == pytest.approx(expected, rel=1e-9)


def test_two_draws_of_the_same_question_are_the_same() -> None:
    inputs = {"a": Triangle(0.0, 1.0, 2.0), "b": LogNormal(1.0, 2.0)}

    first, second = drawn(inputs), drawn(inputs)

    assert all(np.array_equal(first[name], second[name]) for name in inputs)


def test_an_input_is_drawn_the_same_whatever_else_varies() -> None:
    one = drawn({"a": Triangle(0.0, 1.0, 2.0)})
    two = drawn({"b": LogNormal(1.0, 2.0), "a": Triangle(0.0, 1.0, 2.0)})

    assert np.array_equal(one["a"], two["a"])


def test_inputs_are_drawn_without_leaning_on_each_other() -> None:
    columns = np.array([scores(DRAWS, f"input {number}")[1] for number in range(12)])

    leaning = np.corrcoef(columns) - np.eye(12)

    assert np.abs(leaning).max() < 0.04  # four standard errors of 10,000 draws


def test_a_range_of_no_width_is_its_value() -> None:
    assert set(drawn({"x": Triangle(2.0, 2.0, 2.0)})["x"]) == {2.0}


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=6).filter(lambda c: any(abs(x) > 1e-3 for x in c)))
def test_shares_of_a_linear_result_are_those_of_the_formula(factors: list[float]) -> None:
    """One-at-a-time variance of a sum: share i = (a_i s_i)² / sum of all."""
    inputs = {str(place): Triangle(0.0, 1.0, 1.0 + place) for place in range(len(factors))}
    values = alone(inputs, count=4096)
    result = sum((factor * values[name] for factor, name in zip(factors, inputs, strict=True)), np.zeros(1))

    shares = variance_shares(result, tuple(inputs))

    low, mode, high = 0.0, 1.0, np.arange(1.0, 1.0 + len(factors))
    variance = (low**2 + mode**2 + high**2 - low * mode - low * high - mode * high) / 18
    expected = np.array(factors) ** 2 * variance
    assert list(shares.values()) == pytest.approx(list(expected / expected.sum()), abs=2e-3)


def test_ties_are_named_together_and_others_are_not() -> None:
    assert widest({"a": 0.10, "b": 0.50, "c": 0.40}) == ("b", "c")
    assert widest({"a": 0.10, "b": 0.60, "c": 0.30}) == ("b",)
    assert widest({}) == ()


def test_nothing_varying_has_no_widest() -> None:
    values = alone({"x": Triangle(1.0, 1.0, 1.0)})

    assert widest(variance_shares(values["x"], ("x",))) == ()
    assert variance_shares(values["x"], ()) == {}


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=40), st.floats(0.01, 1.0))
def test_a_quantile_is_reached_by_its_share_and_by_no_smaller_value(
    values: list[float], share: float
) -> None:
    found = quantile(np.array(values), share)

    assert found in values
    assert np.mean(np.array(values) <= found) >= share - 1e-12
    smaller = [value for value in values if value < found]
    assert not smaller or np.mean(np.array(values) <= max(smaller)) < share


def test_what_is_no_range_is_refused() -> None:
    with pytest.raises(InputError):
        Triangle(2.0, 1.0, 3.0)
    with pytest.raises(InputError):
        LogNormal(1.0, 0.5)
    with pytest.raises(InputError):
        LogNormal(0.0, 2.0)
