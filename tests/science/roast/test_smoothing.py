"""Smoothing and the rate of change, held against scipy where it does the same."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.signal import savgol_filter

from nibsmith.science.errors import InputError
from nibsmith.science.roast import Curve, smooth


def bend(times: np.ndarray) -> np.ndarray:
    return 22 + 105 * (1 - np.exp(-times / 620))


@given(st.floats(-0.5, 0.5), st.floats(20, 120), st.lists(st.floats(1.0, 20.0), min_size=20, max_size=80))
def test_a_straight_line_stays_itself_however_uneven_its_times(
    slope: float, start: float, steps: list[float]
) -> None:
    times = np.cumsum(np.array(steps))
    line = Curve(times, start + slope * times, 1e6)

    found = smooth(line)

    assert found.celsius == pytest.approx(line.celsius, abs=1e-7)
    told = np.isfinite(found.rate_k_min)
    assert told.sum() > 10
    assert found.rate_k_min[told] == pytest.approx(slope * 60, abs=1e-7)


def test_the_rate_is_that_of_savitzky_and_golay_of_first_order() -> None:
    """scipy.signal.savgol_filter, 13 readings 5 s apart; ends apart, where it fits whole windows."""
    rng = np.random.default_rng(3)
    times = np.arange(0.0, 1500.0, 5.0)
    curve = Curve(times, bend(times) + rng.normal(0, 0.5, times.size), 60.0)

    found = smooth(curve, window_s=60.0)

    peer = savgol_filter(curve.celsius, 13, 1, deriv=1, delta=5.0) * 60
    assert found.rate_k_min[6:-6] == pytest.approx(peer[6:-6], abs=1e-8)


def test_the_value_is_the_line_and_the_line_of_what_it_left() -> None:
    """Twice the filter of scipy less the filter of itself."""
    times = np.arange(0.0, 900.0, 5.0)
    curve = Curve(times, bend(times) + np.sin(times), 60.0)

    found = smooth(curve, window_s=60.0).celsius

    once = savgol_filter(curve.celsius, 13, 1)
    again = once + savgol_filter(curve.celsius - once, 13, 1)
    assert found[12:-12] == pytest.approx(again[12:-12], abs=1e-8)


def test_a_dip_keeps_its_depth_better_than_a_line_alone() -> None:
    times = np.arange(0.0, 600.0, 2.0)
    dip = Curve(times, 90 + ((times - 200) / 20) ** 2, 60.0)

    found = smooth(dip, window_s=60.0)

    line_alone = savgol_filter(dip.celsius, 31, 1)
    assert abs(found.celsius[100] - 90) < abs(line_alone[100] - 90) / 10


def test_noise_shrinks_and_its_size_is_told() -> None:
    rng = np.random.default_rng(5)
    times = np.arange(0.0, 1800.0, 2.0)
    curve = Curve(times, bend(times) + rng.normal(0, 0.4, times.size), 60.0)

    found = smooth(curve)

    assert np.std(found.celsius - bend(times)) < 0.15
    assert found.scatter_k == pytest.approx(0.4, rel=0.1)


def test_no_line_is_fitted_across_a_gap() -> None:
    early, late = np.arange(0.0, 300.0, 5.0), np.arange(600.0, 900.0, 5.0)
    torn = Curve(np.concatenate((early, late)), np.concatenate((early * 0 + 100, late * 0 + 150)), 60.0)

    found = smooth(torn)

    assert found.celsius == pytest.approx(torn.celsius, abs=1e-9)
    assert found.rate_k_min == pytest.approx(0.0, abs=1e-9)


def test_few_readings_stay_as_they_are_with_the_rate_of_their_parabola() -> None:
    """numpy.gradient is exact for a parabola inside."""
    times = np.array([0.0, 400.0, 900.0, 1500.0, 1900.0])
    curve = Curve(times, 20 + 0.1 * times - 2e-5 * times**2, 700.0)

    found = smooth(curve)

    assert found.celsius.tolist() == curve.celsius.tolist()
    assert found.rate_k_min[1:-1] == pytest.approx(60 * (0.1 - 4e-5 * times[1:-1]), rel=1e-9)


def test_readings_by_hand_beside_a_gap_have_no_rate() -> None:
    found = smooth(Curve(np.array([0.0, 300.0, 600.0, 2600.0, 2900.0]), np.arange(5.0), 660.0))

    assert np.isnan(found.rate_k_min).tolist() == [False, False, True, True, False]


def test_one_reading_has_no_rate() -> None:
    assert np.isnan(smooth(Curve(np.array([0.0]), np.array([20.0]), 60.0)).rate_k_min).all()


def test_lone_readings_of_a_log_have_no_rate() -> None:
    times = np.concatenate((np.arange(0.0, 300.0, 5.0), [2000.0]))

    found = smooth(Curve(times, times, 60.0))

    assert np.isnan(found.rate_k_min[-1])
    assert found.celsius[-1] == 2000.0


def test_a_window_of_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="above zero"):
        smooth(Curve(np.array([0.0, 1.0]), np.array([1.0, 2.0]), 60.0), window_s=0.0)
