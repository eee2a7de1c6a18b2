"""Flow laws: fits find what made the points, agree with independent fits, and refuse what is no curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.flow import (
    Casson,
    casson_from_two_points,
    constituent_density,
    cup_viscosity,
    fit_casson,
    fit_herschel_bulkley,
    food_density,
    ring_yield,
)

RATES = (2.0, 5.0, 10.0, 20.0, 35.0, 50.0)


@given(st.floats(0.1, 200), st.floats(0.1, 30))
def test_two_points_give_back_the_law_they_came_from(stress: float, viscosity: float) -> None:
    law = Casson(stress, viscosity)

    back = casson_from_two_points(law.stress_at_5, law.viscosity_at_40)

    assert (back.yield_pa, back.viscosity_pas) == pytest.approx((stress, viscosity), rel=1e-6)


@given(st.floats(0.1, 200), st.floats(0.1, 30))
def test_the_fit_finds_the_law_that_made_the_curve(stress: float, viscosity: float) -> None:
    law = Casson(stress, viscosity)

    fit = fit_casson(RATES, [law.stress(rate) for rate in RATES])

    assert (fit.casson.yield_pa, fit.casson.viscosity_pas) == pytest.approx((stress, viscosity), rel=1e-6)
    assert fit.yield_error == pytest.approx(0.0, abs=1e-6)


def noisy(law: Casson) -> list[float]:
    return [law.stress(rate) * (1 + 0.05 * (-1) ** place) for place, rate in enumerate(RATES)]


def test_the_fit_and_its_errors_are_those_of_an_independent_fit() -> None:
    stresses = noisy(Casson(12.0, 2.5))

    fit = fit_casson(RATES, stresses)

    (foot, slope), covariance = curve_fit(
        lambda x, a, b: a + b * x, np.sqrt(RATES), np.sqrt(stresses), p0=(3.0, 1.5)
    )
    assert fit.casson.yield_pa == pytest.approx(foot**2, rel=1e-6)
    assert fit.casson.viscosity_pas == pytest.approx(slope**2, rel=1e-6)
    assert fit.yield_error == pytest.approx(2 * np.sqrt(covariance[0, 0]) / foot, rel=1e-6)
    assert fit.viscosity_error == pytest.approx(2 * np.sqrt(covariance[1, 1]) / slope, rel=1e-6)


def test_a_curve_bent_the_other_way_has_no_yield_rather_than_a_negative_one() -> None:
    fit = fit_casson((5.0, 50.0), (1.0, 100.0))

    assert fit.casson.yield_pa == 0
    assert fit.casson.viscosity_pas > 0


def test_herschel_bulkley_is_that_of_an_independent_fit() -> None:
    stresses = noisy(Casson(12.0, 2.5))

    fit = fit_herschel_bulkley(RATES, stresses)

    best, _ = curve_fit(
        lambda x, a, k, n: a + k * x**n, RATES, stresses, p0=(20.0, 5.0, 0.9), bounds=(0, [200, 50, 3])
    )
    ours = sum((fit.stress(rate) - stress) ** 2 for rate, stress in zip(RATES, stresses, strict=True))
    theirs = float(((best[0] + best[1] * np.array(RATES) ** best[2] - stresses) ** 2).sum())
    assert ours <= theirs * (1 + 1e-6)
    assert (fit.yield_pa, fit.consistency, fit.exponent) == pytest.approx(best, rel=1e-3)


@given(st.floats(0.0, 100), st.floats(0.5, 10), st.floats(0.4, 1.4))
def test_herschel_bulkley_finds_the_law_that_made_the_curve(foot: float, slope: float, power: float) -> None:
    fit = fit_herschel_bulkley(RATES, [foot + slope * rate**power for rate in RATES])

    made = [foot + slope * rate**power for rate in RATES]
    assert [fit.stress(rate) for rate in RATES] == pytest.approx(made, rel=1e-5)


@pytest.mark.parametrize(
    ("rates", "stresses"),
    [
        ((5.0,), (10.0, 20.0)),
        ((5.0, 5.0), (10.0, 11.0)),
        ((0.0, 5.0), (1.0, 10.0)),
        ((5.0, 40.0), (-1.0, 9.0)),
    ],
)
def test_what_is_no_curve_is_refused(rates: tuple[float, ...], stresses: tuple[float, ...]) -> None:
    with pytest.raises(InputError):
        fit_casson(rates, stresses)
    with pytest.raises(InputError):
        fit_herschel_bulkley(rates, stresses)


def test_two_points_that_no_mass_has_are_refused_with_the_limits() -> None:
    with pytest.raises(InputError) as refusal:
        casson_from_two_points(40.0, 60.0)  # more viscous at 40 1/s than at 5 1/s
    assert refusal.value.limit == "1 to 8 Pa·s at 40 1/s"
    with pytest.raises(InputError):
        casson_from_two_points(0.0, 2.0)
    with pytest.raises(InputError):
        Casson(-1.0, 2.0)


def test_the_cake_in_the_formula_of_the_ring_holds_its_volume() -> None:
    """Independent: add up the cake whose slope carries the yield everywhere, h·dh/dr = -tau/(rho g)."""
    stress, density, gravity, radius = 12.0, 1230.0, 9.81, 0.06
    r = np.linspace(0, radius, 200_001)
    height = np.sqrt(2 * stress * (radius - r) / (density * gravity))
    volume = float(np.trapezoid(2 * np.pi * r * height, r))

    assert ring_yield(2000 * radius, 1e6 * volume, density) == pytest.approx(stress, rel=1e-4)


def test_a_cup_refuses_what_runs_out_too_quickly_and_cups_nobody_knows() -> None:
    with pytest.raises(InputError):
        cup_viscosity(5.0, "zahn5", 1200.0)
    with pytest.raises(InputError, match="No cup has this key"):
        cup_viscosity(50.0, "teacup", 1200.0)
    with pytest.raises(InputError):
        cup_viscosity(50.0, "zahn5", 0.0)
    with pytest.raises(InputError):
        ring_yield(0.0, 20.0, 1200.0)


def test_densities_are_refused_outside_their_range_and_for_what_is_no_constituent() -> None:
    with pytest.raises(OutOfRange):
        constituent_density("fat", 200.0)
    with pytest.raises(InputError, match="no constituent"):
        constituent_density("cocoa", 20.0)
    with pytest.raises(InputError):
        food_density({"fat": -0.1, "water": 1.1}, 20.0)
    with pytest.raises(InputError):
        food_density({}, 20.0)
