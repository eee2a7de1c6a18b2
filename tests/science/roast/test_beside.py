"""A roast beside another, beside a wanted course, and ahead of its end."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.roast import (
    Band,
    Curve,
    compare_roasts,
    difference,
    first_time_at,
    forecast_end,
    keep_to_band,
    time_above,
)
from roast_courses import GAP, curves


def course(minutes: list[float], celsius: list[float]) -> Curve:
    return Curve(60 * np.array(minutes), np.array(celsius, dtype=float), GAP)


@given(curves(), curves(), st.floats(0.5, 30.0))
def test_the_shares_of_a_band_are_those_of_a_fine_count(
    roast: Curve, wanted: Curve, tolerance: float
) -> None:
    kept = keep_to_band(roast, Band(wanted, tolerance))
    end = min(roast.end_s, wanted.end_s)
    at = (np.linspace(0, end, 8001)[:-1] + np.linspace(0, end, 8001)[1:]) / 2
    apart = roast.at(at) - wanted.at(at)

    slack = (roast.times_s.size + wanted.times_s.size) * 2.5e-4
    assert kept.inside + kept.too_hot + kept.too_cool == pytest.approx(1.0)
    assert kept.too_hot == pytest.approx((apart > tolerance).mean(), abs=slack)
    assert kept.too_cool == pytest.approx((apart < -tolerance).mean(), abs=slack)
    assert abs(kept.furthest_k) >= np.abs(apart).max() - 1e-6


@given(curves(), st.floats(0.5, 30.0))
def test_a_roast_keeps_to_itself(roast: Curve, tolerance: float) -> None:
    kept = keep_to_band(roast, Band(roast, tolerance))

    assert (kept.inside, kept.furthest_k, kept.first_out_s) == (1.0, 0.0, None)


@pytest.mark.parametrize(("off", "first"), [(5.0, None), (5.1, 0.0)])
def test_a_roast_beside_its_band_all_along_left_it_at_the_start(off: float, first: float | None) -> None:
    wanted = course([0, 30], [20, 130])

    assert keep_to_band(wanted.shifted(off), Band(wanted, 5.0)).first_out_s == first


def test_a_band_without_width_or_time_is_refused() -> None:
    wanted = course([0, 30], [20, 130])

    with pytest.raises(InputError):
        Band(wanted, 0.0)
    with pytest.raises(InputError):
        keep_to_band(course([40, 50], [20, 30]), Band(wanted, 5.0))
    with pytest.raises(InputError):
        keep_to_band(course([30, 50], [20, 30]), Band(wanted, 5.0))


@given(curves(), curves())
def test_two_roasts_differ_by_the_same_seen_from_either_side(one: Curve, two: Curve) -> None:
    there, back = compare_roasts(one, two), compare_roasts(two, one)

    assert there.apart is not None
    assert back.apart is not None
    assert there.apart.celsius == pytest.approx(-back.apart.celsius)
    assert [each.first for each in there.figures] == [each.second for each in back.figures]


@given(curves())
def test_the_figures_of_a_comparison_are_those_of_the_roast(roast: Curve) -> None:
    figures = {each.what: each.first for each in compare_roasts(roast, roast).figures}

    assert figures["length"] == roast.duration_s
    assert figures["hottest"] == roast.celsius.max()
    for mark in (100, 110, 120, 130):
        assert figures[f"time above {mark} °C"] == time_above(roast, mark)
        assert (figures[f"time to {mark} °C"] is None) == (roast.celsius.max() < mark)


def test_roasts_are_compared_from_their_own_start() -> None:
    early, late = course([0, 30], [20, 130]), course([600, 630], [20, 130])

    assert compare_roasts(early, late).furthest_k == 0.0


@given(curves(), st.integers(0, 180))
def test_the_first_time_at_a_temperature_lies_on_the_curve(roast: Curve, mark: int) -> None:
    when = first_time_at(roast, float(mark))
    if when is None:
        assert roast.celsius.max() < mark
    elif when > roast.start_s:
        assert roast.at(when)[0] == pytest.approx(mark, abs=1e-6)
        assert (roast.celsius[roast.times_s < when] < mark).all()


def test_a_difference_is_told_where_both_are_known() -> None:
    torn = Curve(np.array([0.0, 100.0, 900.0]), np.array([20.0, 30.0, 100.0]), 200.0)

    found = difference(course([0, 15], [20, 100]), torn)

    assert found.times_s.tolist() == [0.0, 100.0, 900.0]


@given(st.floats(110, 150), st.floats(200, 2000), st.floats(0.2, 0.9))
def test_the_forecast_of_a_course_that_levels_off_is_exact(level: float, tau: float, share: float) -> None:
    """Three readings of T = T∞ - (T∞ - 25) exp(-t/tau): the law itself tells the time."""
    times = np.array([0.0, 0.4, 0.9]) * tau
    so_far = Curve(times, level - (level - 25) * np.exp(-times / tau), GAP)
    end = float(so_far.celsius[-1] + share * (level - so_far.celsius[-1]) * 0.5)

    found = forecast_end(so_far, end)

    assert found.time_s.value == pytest.approx(-tau * math.log((level - end) / (level - 25)), rel=1e-6)
    assert found.level_celsius == pytest.approx(level, rel=1e-6)
    assert found.time_s.low <= found.time_s.value <= found.time_s.high


def test_the_forecast_of_a_straight_course_goes_straight_on() -> None:
    found = forecast_end(course([0, 10, 20], [20, 60, 100]), 120.0)

    assert (found.time_s.value, found.level_celsius) == (1500.0, None)


def test_the_forecast_of_a_log_is_that_of_its_course_through_the_noise() -> None:
    times = np.arange(0.0, 1200.0, 2.0)
    law = 130 - 105 * np.exp(-times / 600)
    noisy = Curve(times, law + np.random.default_rng(2).normal(0, 0.2, times.size), 60.0)

    found = forecast_end(noisy, 120.0)

    exact = -600 * math.log(10 / 105)
    assert found.time_s.value == pytest.approx(exact, rel=0.05)
    assert found.time_s.low <= exact <= found.time_s.high


@pytest.mark.parametrize(
    ("celsius", "end", "error", "words"),
    [
        ([20, 60], 120.0, InputError, "three readings"),
        ([20, 60, 120], 120.0, InputError, "there already"),
        ([20, 100, 100], 120.0, InputError, "not getting warmer"),
        ([25, 85, 109], 126.0, OutOfRange, "levels off below"),
        ([20, 25, 30], 120.0, OutOfRange, "further ahead"),
    ],
)
def test_what_cannot_be_foreseen_is_refused(
    celsius: list[float], end: float, error: type, words: str
) -> None:
    with pytest.raises(error, match=words):
        forecast_end(course([0, 10, 20][: len(celsius)], celsius), end)


def test_a_reading_a_little_off_that_never_gets_there_leaves_the_end_open() -> None:
    found = forecast_end(course([0, 10, 20, 30], [24, 105, 121, 126]), 128.0)

    assert math.isinf(found.time_s.high)
