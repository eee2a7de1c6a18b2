"""The sum of heat, held against numerical quadrature and its own laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.roast import (
    Curve,
    Matter,
    Probe,
    Role,
    Weibull,
    death_time,
    death_times,
    log_reduction,
    reduction_with_range,
    reductions,
    thermal_time,
    weibull_reduction,
)
from roast_courses import GAP, curves

MATTERS = st.sampled_from(list(Matter))


@given(curves(), MATTERS)
def test_the_sum_is_that_of_numerical_quadrature(curve: Curve, matter: Matter) -> None:
    """scipy.integrate.quad over each straight piece, cut where the rate has its corners."""
    table = death_times(matter)
    total = 0.0
    for t1, t2, one, two in zip(
        curve.times_s[:-1], curve.times_s[1:], curve.celsius[:-1], curve.celsius[1:], strict=True
    ):

        def rate(t: float, a: float = t1, b: float = t2, low: float = one, high: float = two) -> float:
            return 1 / death_time(low + (high - low) * (t - a) / (b - a), matter)

        corners = [
            t1 + (at - one) / (two - one) * (t2 - t1)
            for at in table.celsius
            if min(one, two) < at < max(one, two)
        ]
        total += quad(rate, t1, t2, points=corners or None, limit=200, epsrel=1e-10)[0] / 60

    assert log_reduction(curve, matter) == pytest.approx(total, rel=1e-7, abs=1e-9)


@given(curves(), st.floats(0.05, 0.95), MATTERS)
def test_a_reading_put_between_two_others_changes_nothing(curve: Curve, share: float, matter: Matter) -> None:
    time = curve.start_s + share * curve.duration_s
    if np.abs(curve.times_s - time).min() < 1e-3:
        return
    times = np.sort(np.append(curve.times_s, time))
    finer = Curve(times, np.interp(times, curve.times_s, curve.celsius), GAP)

    assert log_reduction(finer, matter) == pytest.approx(log_reduction(curve, matter), rel=1e-9, abs=1e-12)


@given(curves(), st.floats(0.0, 20.0), MATTERS)
def test_a_warmer_roast_never_counts_less(curve: Curve, warmer: float, matter: Matter) -> None:
    assert log_reduction(curve.shifted(warmer), matter) >= log_reduction(curve, matter) - 1e-12


@given(curves())
def test_nibs_never_count_more_than_beans(curve: Curve) -> None:
    assert log_reduction(curve, Matter.NIBS) <= log_reduction(curve, Matter.BEANS) + 1e-12


@given(curves(), MATTERS)
def test_the_running_sum_ends_in_the_whole_and_never_falls(curve: Curve, matter: Matter) -> None:
    running = reductions(curve, matter)

    assert (np.diff(running) >= 0).all()
    assert running[-1] == pytest.approx(log_reduction(curve, matter), rel=1e-12)


@given(st.floats(-40, 99.999), st.floats(140, 500))
def test_nothing_is_extrapolated(cold: float, hot: float) -> None:
    assert death_time(cold) == math.inf
    assert death_time(hot) == pytest.approx(death_time(140.0), rel=1e-12)
    assert death_time(109.999, Matter.NIBS) == math.inf


def test_heat_in_a_gap_does_not_count() -> None:
    torn = Curve(np.array([0.0, 60.0, 1260.0, 1320.0]), np.full(4, 120.0), 60.0)

    assert log_reduction(torn) == pytest.approx(2 / 10.5, rel=1e-12)
    assert reductions(torn)[1] == reductions(torn)[2]


def test_a_piece_that_hardly_rises_counts_like_a_level_one() -> None:
    level, steep = (
        log_reduction(Curve(np.array([0.0, 600.0]), np.array([115.0, 115.0 + rise]), GAP))
        for rise in (0.0, 1e-5)
    )

    assert steep == pytest.approx(level, rel=1e-6)


@given(st.floats(0.3, 1.5), st.floats(1.0, 30.0), st.floats(0.5, 8.0))
def test_a_weibull_line_at_one_temperature_is_the_power_law(
    shape: float, delta: float, wanted: float
) -> None:
    own = Weibull(delta, 120.0, shape, 30.0, 100.0, 140.0)
    minutes = delta * wanted ** (1 / shape)
    held = Curve(np.array([0.0, minutes * 60]), np.array([120.0, 120.0]), 1e9)

    assert weibull_reduction(held, own) == pytest.approx(wanted, rel=1e-9)


def test_a_weibull_line_of_shape_one_is_the_straight_one() -> None:
    own = Weibull(10.0, 120.0, 1.0, 30.0, 100.0, 140.0)
    course = Curve(np.array([0.0, 900.0, 1800.0]), np.array([105.0, 125.0, 125.0]), GAP)

    assert weibull_reduction(course, own) == pytest.approx(thermal_time(course, 120.0, 30.0) / 10, rel=1e-9)


def test_a_weibull_line_holds_only_where_it_was_found() -> None:
    own = Weibull(10.0, 120.0, 1.0, 30.0, 110.0, 130.0)
    cold, hot = (Curve(np.array([0.0, 600.0]), np.full(2, at), GAP) for at in (109.9, 160.0))

    assert weibull_reduction(cold, own) == 0.0
    assert weibull_reduction(hot, own) == pytest.approx(10 ** (10 / 30), rel=1e-9)


@pytest.mark.parametrize(
    "numbers",
    [
        (0.0, 120.0, 1.0, 30.0, 100.0, 140.0),
        (10.0, 120.0, 0.0, 30.0, 100.0, 140.0),
        (10.0, 120.0, 1.0, 0.0, 100.0, 140.0),
        (10.0, 99.0, 1.0, 30.0, 100.0, 140.0),
        (10.0, 120.0, 1.0, 30.0, 120.0, 120.0),
    ],
)
def test_parameters_that_cannot_be_are_refused(numbers: tuple[float, ...]) -> None:
    with pytest.raises(InputError):
        Weibull(*numbers)


def test_z_above_zero_is_asked_for() -> None:
    with pytest.raises(InputError, match="z is above zero"):
        thermal_time(Curve(np.array([0.0, 1.0]), np.array([1.0, 2.0]), GAP), 100.0, 0.0)


def beans(celsius: list[float], minutes: list[float], **facts: float) -> Probe:
    return Probe("beans", Role.BEAN, Curve(60 * np.array(minutes), np.array(celsius), 2000.0), **facts)


def test_the_range_holds_what_counts_and_repeats_itself() -> None:
    probe = beans([25, 110, 125, 128], [0, 10, 20, 30], uncertainty_k=1.5)

    one, two = reduction_with_range((probe,)), reduction_with_range((probe,))

    assert one.low <= one.value <= one.high
    assert (one.value, one.low, one.high) == (two.value, two.low, two.high)
    assert one.value == log_reduction(probe.curve.shifted(-1.5))


def test_the_widest_input_is_that_of_one_at_a_time_on_a_nearly_linear_case() -> None:
    """Close to one temperature R is nearly linear in the probe's error: slope ln(10)/z, z about 25 K here."""
    sure = reduction_with_range((beans([122, 122], [0, 30], uncertainty_k=0.1),)).widest
    unsure = reduction_with_range((beans([122, 122], [0, 30], uncertainty_k=8.0),)).widest

    assert sure == ("the minutes for a tenfold reduction",)
    assert unsure == ("how far the probe can be off",)


def test_a_long_log_gives_the_range_of_the_same_course_in_few_readings() -> None:
    few = beans([25, 110, 125, 128], [0, 10, 20, 30], uncertainty_k=1.5)
    minutes = np.linspace(0, 30, 30_001)  # its corners are among them
    many = beans(
        np.interp(minutes, [0, 10, 20, 30], [25, 110, 125, 128]).tolist(), minutes.tolist(), uncertainty_k=1.5
    )

    one, two = reduction_with_range((few,)), reduction_with_range((many,))

    assert two.value == pytest.approx(one.value, rel=1e-9)
    assert (two.low, two.high) == pytest.approx((one.low, one.high), rel=5e-3)


def test_the_range_is_that_of_plain_random_draws() -> None:
    """numpy.random, 100,000 draws: reading off by a triangle, times by a factor of 1.2 two times in three."""
    probe = beans([118, 125], [0, 30], uncertainty_k=2.0)
    found = reduction_with_range((probe,))
    rng = np.random.default_rng(11)
    warmer, factor = rng.triangular(-2, 0, 2, 100_000), np.exp(np.log(1.2) * rng.normal(size=100_000))
    grid = np.linspace(-2, 2, 81)
    counted = np.interp(warmer, grid, [log_reduction(probe.curve.shifted(off)) for off in grid]) / factor

    assert (found.low, found.high) == pytest.approx(tuple(np.quantile(counted, [0.05, 0.95])), rel=0.02)


def test_what_is_not_told_is_named() -> None:
    with pytest.raises(UnknownFigure, match="beans"):
        reduction_with_range((beans([20, 120], [0, 10]),))
    with pytest.raises(UnknownFigure, match="a probe in the beans"):
        reduction_with_range(())


def test_time_in_gaps_is_told() -> None:
    torn = Probe(
        "beans",
        Role.BEAN,
        Curve(np.array([0.0, 60.0, 1260.0, 1320.0]), np.full(4, 120.0), 60.0),
        uncertainty_k=0.0,
    )

    assert reduction_with_range((torn,)).uncounted_s == 1200.0
