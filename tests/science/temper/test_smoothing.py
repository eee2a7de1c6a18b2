"""Local parabolas, against scipy's filter and against what a parabola is."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import savgol_filter

from nibsmith.science.errors import InputError
from nibsmith.science.temper import smoothed, turns


@pytest.mark.parametrize("half", [2, 7, 15])
def test_course_and_slope_are_those_of_scipys_filter(half: int) -> None:
    values = np.random.default_rng(2).normal(size=200).cumsum()

    course, slope = smoothed(values, half)

    window = 2 * half + 1
    assert course == pytest.approx(savgol_filter(values, window, 2, mode="interp"), abs=1e-9)
    assert slope == pytest.approx(savgol_filter(values, window, 2, deriv=1, mode="interp"), abs=1e-9)


@given(st.floats(-5, 5), st.floats(-5, 5), st.floats(-1, 1), st.integers(1, 9))
def test_a_parabola_goes_through_unchanged(level: float, rise: float, bend: float, half: int) -> None:
    x = np.arange(30.0)

    course, slope = smoothed(level + rise * x + bend * x**2, half)

    assert course == pytest.approx(level + rise * x + bend * x**2, abs=1e-7)
    assert slope == pytest.approx(rise + 2 * bend * x, abs=1e-8)


@pytest.mark.parametrize(("count", "half"), [(4, 2), (30, 0)])
def test_too_few_readings_are_refused(count: int, half: int) -> None:
    with pytest.raises(InputError):
        smoothed(np.zeros(count), half)


@given(st.lists(st.floats(-10, 10), min_size=2, max_size=40), st.floats(0.01, 3))
def test_turns_alternate_and_are_as_large_as_asked(values: list[float], least: float) -> None:
    course = np.array(values)
    places = turns(course, least)

    for place, (first, second) in enumerate(pairwise(places)):
        rise = course[second] - course[first]
        assert (rise if place % 2 == 0 else -rise) > least


def test_small_wiggles_are_no_turns() -> None:
    x = np.linspace(0, 1, 200)

    assert turns(-x + 0.001 * np.sin(100 * x), 0.1) == ()
