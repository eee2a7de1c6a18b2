"""Round numbers along an axis."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.paper.chart import Count, tick_texts, ticks
from nibsmith.paper.chart.ticks import log_ticks, rounded_out, step_of

ends = st.tuples(st.floats(-1e5, 1e5, allow_nan=False), st.floats(1e-3, 1e5, allow_nan=False)).map(
    lambda pair: (pair[0], pair[0] + pair[1])
)


@given(ends, st.integers(3, 12), st.sampled_from(Count))
def test_ticks_are_few_even_and_on_the_axis(pair: tuple[float, float], most: int, count: Count) -> None:
    low, high = pair
    found = ticks(low, high, most, count)
    step = step_of(high - low, most, count)
    assert len(found) <= most
    assert all(low - step * 1e-6 <= tick <= high + step * 1e-6 for tick in found)
    assert all(math.isclose(b - a, step, rel_tol=1e-6) for a, b in pairwise(found))


@given(ends, st.integers(3, 9))
def test_a_step_begins_with_one_two_or_five(pair: tuple[float, float], most: int) -> None:
    step = step_of(pair[1] - pair[0], most)
    mantissa = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(mantissa - digit) for digit in (1, 2, 5)) < 1e-9


@given(ends)
def test_rounded_ends_hold_what_was_there(pair: tuple[float, float]) -> None:
    low, high = pair
    first, last = rounded_out(low, high, 6)
    step = step_of(high - low, 6)
    assert first <= low + step * 1e-6
    assert last >= high - step * 1e-6
    assert first > low - step * 1.001
    assert last < high + step * 1.001


@pytest.mark.parametrize(
    ("low", "high", "most", "count", "expected"),
    [
        (0, 60, 6, Count.MINUTES, [0, 15, 30, 45, 60]),
        (0, 48, 6, Count.HOURS, [0, 12, 24, 36, 48]),
        (0, 6, 7, Count.MINUTES, [0, 1, 2, 3, 4, 5, 6]),
        (0, 3000, 6, Count.MINUTES, [0, 720, 1440, 2160, 2880]),
    ],
)
def test_time_is_counted_as_clocks_do(
    low: int, high: int, most: int, count: Count, expected: list[int]
) -> None:
    assert ticks(low, high, most, count) == expected


def test_a_long_ratio_shows_decades_and_a_short_one_more() -> None:
    assert log_ticks(0.05, 2000) == pytest.approx([0.1, 1, 10, 100, 1000])
    assert log_ticks(10, 60) == pytest.approx([10, 20, 50])


def test_texts_have_the_decimals_of_the_finest_and_a_true_minus() -> None:
    assert tick_texts([-0.25, 0.0, 0.25]) == ["−0.25", "0.00", "0.25"]
    assert tick_texts([1.5], ",") == ["1,5"]
    assert tick_texts([-0.0]) == ["0"]
