"""Roots: the bracket closes on the change of sign, on the side that was asked for."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from nibsmith.science.errors import OutOfRange
from nibsmith.science.numerics import bracketed_root


@pytest.mark.parametrize(
    ("function", "low", "high"),
    [
        (lambda x: math.cos(x) - x, 0.0, 1.0),
        (lambda x: x**3 - 2 * x - 5, 2.0, 3.0),
        (lambda x: math.exp(-x) - 1e-3, 0.0, 50.0),
        (lambda x: math.atan(x - 1.0), -40.0, 70.0),
    ],
)
def test_the_root_is_that_of_an_independent_method(function, low, high) -> None:
    assert bracketed_root(function, low, high) == pytest.approx(brentq(function, low, high), rel=1e-10)


@given(st.floats(0.001, 0.999), st.sampled_from([1.0, -1.0]), st.booleans())
def test_the_point_lies_on_the_side_of_the_second_end(place: float, sign: float, turned: bool) -> None:
    ends = (1.0, 0.0) if turned else (0.0, 1.0)

    root = bracketed_root(lambda x: sign * math.tan(x - place), *ends, tolerance=1e-4)

    assert abs(root - place) <= 1e-4
    assert (root - place) * (ends[1] - place) >= 0


def test_an_infinite_end_counts_by_its_sign() -> None:
    root = bracketed_root(lambda x: math.inf if x < 0.3 else 0.4 - x, 0.0, 1.0)

    assert root == pytest.approx(0.4, rel=1e-10)


def test_a_jump_is_found_too() -> None:
    assert bracketed_root(lambda x: -1.0 if x < 0.625 else 1.0, 0.0, 1.0) == pytest.approx(0.625, rel=1e-11)


@pytest.mark.parametrize("power", [1, 2, 3, 9, 40])
@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (0.0, -2.0), (1.5, 4.0), (4.0, 1.5)])
def test_a_function_that_lies_flat_at_a_root_at_low_ends_there(power: int, low: float, high: float) -> None:
    assert bracketed_root(lambda x: (x - low) ** power, low, high) == low
    assert bracketed_root(lambda x: -((x - low) ** power), low, high) == low


def test_a_function_that_is_zero_from_low_on_ends_at_low() -> None:
    assert bracketed_root(lambda x: max(0.0, x - 0.5), 0.0, 1.0) == 0.0
    assert bracketed_root(lambda x: 0.0, 0.25, 1.0) == 0.25


def test_a_root_at_high_is_high() -> None:
    assert bracketed_root(lambda x: (x - 1.0) ** 3, -2.0, 1.0) == 1.0


def test_values_too_small_to_be_multiplied_keep_their_sign() -> None:
    # Their product is zero to a machine, which is no change of sign; with one, it is found all the same.
    with pytest.raises(OutOfRange):
        bracketed_root(lambda x: 1e-200 * (1.0 + x), 0.0, 1.0)

    assert bracketed_root(lambda x: 1e-200 * (x - 0.3), 0.0, 1.0) == pytest.approx(0.3, rel=1e-10)


def test_few_evaluations_are_enough_for_a_smooth_function() -> None:
    seen: list[float] = []

    def function(x: float) -> float:
        seen.append(x)
        return math.log(x) - 1

    bracketed_root(function, 0.5, 20.0, tolerance=1e-3)

    assert len(seen) <= 12


def test_no_change_of_sign_is_refused() -> None:
    with pytest.raises(OutOfRange):
        bracketed_root(lambda x: x * x + 1, -1.0, 1.0)
    with pytest.raises(OutOfRange):
        bracketed_root(lambda x: math.nan, -1.0, 1.0)
