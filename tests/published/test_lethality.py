"""Sums of heat and times for a tenfold reduction, against what others have printed.

The rule of all sums here: temperature goes in straight lines between two readings, and the integral over each
piece is exact. Two other rules of the textbooks give other figures for the same readings; both are shown
beside it.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from nibsmith.science.roast import (
    Curve,
    Matter,
    Weibull,
    death_time,
    log_reduction,
    thermal_time,
    weibull_reduction,
)

GAP = 1e6
# Geankoplis, example 9.12-2: minutes and °F; z 18 °F, reference 250 °F, F needed 2.45 min.
MINUTES = np.array([0.0, 15.0, 25.0, 30.0, 40.0, 50.0, 64.0])
FAHRENHEIT = np.array([80.0, 165.0, 201.0, 212.5, 225.0, 230.5, 235.0])


def celsius(fahrenheit: np.ndarray | float) -> np.ndarray:
    return np.asarray((np.asarray(fahrenheit) - 32) / 1.8)


def held(fahrenheit: float, minutes: float) -> Curve:
    at = float(celsius(fahrenheit))
    return Curve(np.array([0.0, minutes * 60]), np.array([at, at]), GAP)


def test_geankoplis_9_12_1_sums_three_holds() -> None:
    """160 °F 20 min, 210 °F 20 min, 230 °F 33 min; the book prints 2.68."""
    parts = [
        thermal_time(held(at, minutes), float(celsius(250)), 10.0)
        for at, minutes in ((160, 20), (210, 20), (230, 33))
    ]

    assert parts == pytest.approx([2.0000e-4, 0.119897, 2.555070], rel=5e-6)
    assert sum(parts) == pytest.approx(2.68, abs=0.005)


def test_geankoplis_9_12_1_with_temperatures_rounded_to_celsius_shifts_in_the_third_digit() -> None:
    """71.1, 98.9, 110 °C against 121.1 °C: 2.68233, as reckoned by hand with powers of ten."""
    by_hand = sum(
        minutes * 10 ** ((at - 121.1) / 10) for at, minutes in ((71.1, 20), (98.9, 20), (110.0, 33))
    )
    parts = [
        thermal_time(Curve(np.array([0.0, minutes * 60.0]), np.array([at, at]), GAP), 121.1, 10.0)
        for at, minutes in ((71.1, 20), (98.9, 20), (110.0, 33))
    ]

    assert sum(parts) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx(2.68233, abs=5e-6)


def test_geankoplis_9_12_2_depends_on_the_rule_and_straight_lines_are_the_careful_one() -> None:
    """The book accepts the can: about 2.5 min of 2.45 needed. Straight lines give 2.3845 and do not."""
    curve = Curve(MINUTES * 60, celsius(FAHRENHEIT), GAP)
    rates = 10 ** ((FAHRENHEIT - 250) / 18)

    straight = thermal_time(curve, float(celsius(250)), 10.0)
    trapezoids = float(np.trapezoid(rates, MINUTES))
    cubic = float(CubicSpline(MINUTES, rates).integrate(0, 64))

    assert straight == pytest.approx(2.38452, abs=5e-6)
    assert trapezoids == pytest.approx(2.50273, abs=5e-6)
    assert cubic == pytest.approx(2.47951, abs=5e-6)
    assert straight < 2.45 < cubic < trapezoids


def test_geankoplis_9_12_2_in_straight_lines_is_the_limit_of_many_trapezoids() -> None:
    fine = np.linspace(0, 64, 640_001)
    rates = 10 ** ((np.interp(fine, MINUTES, FAHRENHEIT) - 250) / 18)

    straight = thermal_time(Curve(MINUTES * 60, celsius(FAHRENHEIT), GAP), float(celsius(250)), 10.0)
    assert straight == pytest.approx(float(np.trapezoid(rates, fine)), rel=1e-8)


def test_geankoplis_9_12_3_is_a_weibull_line_of_shape_one() -> None:
    """D = 0.6 min, F = 9 min: 15 tenfold reductions."""
    reference = float(celsius(250))
    own = Weibull(0.6, reference, 1.0, 10.0, reference - 20, reference + 20)

    assert weibull_reduction(held(250, 9.0), own) == pytest.approx(15.0, rel=1e-12)


# Yan and others 2021, abstract: minutes for a tenfold reduction of S. Oranienburg on whole cocoa beans.
YAN = {100: 33.34, 110: 18.57, 115: 12.92, 120: 10.50, 130: 4.20, 140: 1.90}


@pytest.mark.parametrize("at", YAN)
def test_yan_2021_times_on_whole_beans(at: int) -> None:
    one_time = Curve(np.array([0.0, YAN[at] * 60]), np.array([float(at)] * 2), GAP)

    assert death_time(float(at)) == pytest.approx(YAN[at], rel=1e-12)
    assert log_reduction(one_time) == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize("at", YAN)
def test_yan_2021_times_lie_within_a_fifth_of_their_own_straight_line(at: int) -> None:
    """The factor of 1.2 in the range: log10 D on temperature, least squares by numpy."""
    slope, foot = np.polyfit(list(YAN), np.log10(list(YAN.values())), 1)

    assert -1 / slope == pytest.approx(31.86, abs=0.005)
    assert max(YAN[at] / 10 ** (foot + slope * at), 10 ** (foot + slope * at) / YAN[at]) < 1.2


def test_yan_2021_measured_more_than_five_in_ten_minutes_at_150_and_the_table_says_so_too() -> None:
    """Measured: over 5 after 10 min at 150 °C of the roaster. Beans at 150 °C count as 140 °C: 5.26."""
    ten_minutes = Curve(np.array([0.0, 600.0]), np.array([150.0, 150.0]), GAP)

    assert log_reduction(ten_minutes) == pytest.approx(10 / 1.90, rel=1e-12)
    assert log_reduction(ten_minutes) > 5


# Nascimento and others 2012, abstract: D on nibs over D on beans.
NIBS = {110: 1.8, 120: 2.2, 130: 1.5, 140: 1.0}


@pytest.mark.parametrize("at", NIBS)
def test_nascimento_2012_ratios_of_nibs_to_beans(at: int) -> None:
    assert death_time(float(at), Matter.NIBS) / death_time(float(at)) == pytest.approx(NIBS[at], rel=1e-12)


def test_times_for_powder_at_70_to_80_degrees_are_not_carried_to_roasting() -> None:
    """Cocoa powder, D 46.2, 20.5, 11.5 min at 70, 75, 80 °C [tsai-2019]: at 120 °C it would be 0.04 min.

    On beans 10.5 min were measured there, 250 times as long. The table begins at 100 °C for that reason.
    """
    slope, foot = np.polyfit([70, 75, 80], np.log10([46.2, 20.5, 11.5]), 1)

    assert YAN[120] / 10 ** (foot + slope * 120) == pytest.approx(250, rel=0.05)
    assert math.isinf(death_time(80.0))


def test_a_curved_survivor_line_takes_three_quarters_of_an_hour_and_more_for_five_reductions() -> None:
    """Weibull with shape 0.8 and 10 min for the first: 10 · 5^(1/0.8) = 74.8 min, not 50."""
    own = Weibull(10.0, 120.0, 0.8, 30.0, 100.0, 140.0)
    level = Curve(np.array([0.0, 74.8 * 60]), np.array([120.0, 120.0]), GAP)

    assert weibull_reduction(level, own) == pytest.approx(5.0, abs=5e-3)
