"""A thinned curve has every peak of the whole one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.paper.chart import thinned
from nibsmith.science.errors import InputError

values = st.lists(st.one_of(st.floats(-1e6, 1e6), st.none(), st.just(math.nan)), max_size=400)


@given(values, st.integers(4, 60))
def test_peaks_ends_order_and_number_are_kept(ys: list[float | None], most: int) -> None:
    runs = thinned(list(range(len(ys))), ys, most)
    there = [y for y in ys if y is not None and not math.isnan(y)]
    shown = [y for run in runs for _, y in run]
    xs = [x for run in runs for x, _ in run]
    assert xs == sorted(set(xs))
    assert all(ys[int(x)] == y for run in runs for x, y in run)
    if there:
        assert (min(shown), max(shown)) == (min(there), max(there))
        assert shown[0] == there[0]
        assert shown[-1] == there[-1]
    assert len(shown) <= max(most, 4 * len(runs))


@given(st.lists(st.floats(-1e3, 1e3), min_size=300, max_size=300), st.integers(0, 299))
def test_a_single_spike_among_many_points_is_seen(ys: list[float], at: int) -> None:
    ys[at] = 1e4
    (run,) = thinned(list(range(300)), ys, 30)
    assert (at, 1e4) in run


def test_a_gap_stays_a_gap() -> None:
    runs = thinned([0, 1, 2, 3, 4], [1.0, 2.0, None, 3.0, 4.0], 10)
    assert runs == [[(0, 1.0), (1, 2.0)], [(3, 3.0), (4, 4.0)]]


def test_fewer_than_four_points_are_refused() -> None:
    with pytest.raises(InputError, match="needs more points"):
        thinned([0, 1], [0.0, 1.0], 3)


def test_fifty_thousand_points_become_a_few_hundred() -> None:
    xs = [float(x) for x in range(50_000)]
    (run,) = thinned(xs, [math.sin(x / 900) for x in xs], 1200)
    assert 600 < len(run) <= 1200
