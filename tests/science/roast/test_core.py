"""The inside of a bean: series, order, balance of heat and water, and what the range holds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    Bodies,
    Body,
    CoreSetup,
    Curve,
    Drying,
    Shape,
    Weighing,
    bean_core,
    fourier_for,
    heated,
    moisture_left,
)
from nibsmith.science.roast.shells import Shells

BEAN = (0.0054, 970.0, 2000.0, 0.20)


def bodies(transfer: float, shape: Shape = Shape.SPHERE, of: tuple[float, ...] = BEAN) -> Bodies:
    return Bodies(shape, *(np.array([value]) for value in (*of, transfer)))


def level(celsius: float, seconds: float) -> Curve:
    return Curve(np.array([0.0, seconds]), np.array([celsius, celsius]), 2 * seconds)


def series(shape: Shape, biot: float, fourier: float) -> float:
    """The whole series of a sphere or slab under level air: the core, as a share of the first difference."""
    total = 0.0
    for n in range(1, 40):
        low, high = (n - 1) * math.pi + 1e-9, n * math.pi - 1e-9
        if shape is Shape.SPHERE:
            root = brentq(lambda z: (1 - biot) * math.sin(z) - z * math.cos(z), low, high)
            factor = 4 * (math.sin(root) - root * math.cos(root)) / (2 * root - math.sin(2 * root))
        else:
            root = brentq(lambda z: z * math.sin(z) - biot * math.cos(z), low, high - math.pi / 2 + 1e-9)
            factor = 4 * math.sin(root) / (2 * root + math.sin(2 * root))
        total += factor * math.exp(-(root**2) * fourier)
    return total


@pytest.mark.parametrize("shape", list(Shape))
@pytest.mark.parametrize("biot", [0.3, 1.0, 3.0])
def test_level_air_gives_the_series(shape: Shape, biot: float) -> None:
    radius, density, capacity, conductivity = BEAN
    transfer, seconds = biot * conductivity / radius, 300.0
    fourier = conductivity / (density * capacity) * seconds / radius**2

    found = heated(bodies(transfer, shape), level(140.0, seconds), 20.0)

    assert (140 - found.core[0, -1]) / 120 == pytest.approx(series(shape, biot, fourier), abs=2e-4)


def test_halving_the_shells_makes_the_error_four_times_as_large() -> None:
    radius, density, capacity, conductivity = BEAN
    transfer, seconds = 2 * conductivity / radius, 200.0
    exact = series(Shape.SPHERE, 2.0, conductivity / (density * capacity) * seconds / radius**2)
    errors = []
    for count in (8, 16, 32):
        shells = Shells(bodies(transfer), seconds / 4, count)
        stays, _, _ = shells.factors
        state = shells.even(1.0)
        for _ in range(4):
            state = stays * state
        errors.append(abs(float((shells.readers[0] * state).sum()) - exact))

    orders = [math.log2(errors[place] / errors[place + 1]) for place in range(2)]
    assert orders == pytest.approx([2.0, 2.0], abs=0.1)


def test_steps_in_time_are_exact_for_air_that_rises_evenly() -> None:
    shells = Shells(bodies(30.0), 100.0)
    fine = Shells(bodies(30.0), 1.0)
    states = []
    for each, count in ((shells, 1), (fine, 100)):
        stays, steady, growing = each.factors
        state = each.even(20.0)
        for step in range(count):
            now, then = 20 + step * 100 / count, 20 + (step + 1) * 100 / count
            state = stays * state + steady * now + growing * (then - now)
        states.append(state)

    assert states[0] == pytest.approx(states[1], rel=1e-9, abs=1e-9)


def drying(evaporated: float = 0.045) -> Drying:
    return Drying(*(np.array([value]) for value in (0.065, evaporated, 2.3e6, 3e4)))


@settings(max_examples=15)
@given(st.floats(0.005, 0.06), st.floats(10.0, 60.0), st.floats(900.0, 3600.0))
def test_the_water_that_leaves_is_the_water_that_left(
    evaporated: float, transfer: float, seconds: float
) -> None:
    found = heated(bodies(transfer), level(140.0, seconds), 20.0, drying(evaporated))

    assert found.evaporated[0, -1] == pytest.approx(evaporated, rel=1e-7)
    assert (np.diff(found.evaporated[0]) >= 0).all()


@pytest.mark.parametrize("shape", list(Shape))
def test_heat_from_the_air_is_heat_in_the_bean_and_in_the_water(shape: Shape) -> None:
    """Per m² of surface: the flow from the air over time, less what evaporates, warms the body."""
    _, density, capacity, _ = BEAN
    transfer, depth = 30.0, BEAN[0] / (3 if shape is Shape.SPHERE else 1)
    times = np.linspace(0, 1800, 200)
    air = Curve(times, 60 + 80 * (1 - np.exp(-times / 300)), 100.0)
    found = heated(bodies(transfer, shape), air, 20.0, drying())

    flow = transfer * (air.at(found.times_s) - found.surface[0])
    given_off = np.trapezoid(flow, found.times_s)
    water = 2.3e6 * density * depth * found.evaporated[0, -1]
    warmed = density * depth * capacity * (found.mean[0, -1] - 20)

    assert given_off == pytest.approx(warmed + water, rel=2e-3)


def test_leaving_out_evaporation_shows_three_to_eleven_kelvin_too_much_on_the_way() -> None:
    """The trade's rule: evaporation takes about half as much heat again as warming the beans."""
    wet = heated(bodies(27.0), level(140.0, 1800.0), 20.0, drying())
    dry = heated(bodies(27.0), level(140.0, 1800.0), 20.0)

    too_hot = dry.core[0] - wet.core[0]
    assert too_hot.min() >= -1e-9
    assert 3 < too_hot.max() < 11


def test_air_warmer_for_one_body_warms_that_body_alone() -> None:
    twice = Bodies(Shape.SPHERE, *(np.array([value, value]) for value in (*BEAN, 27.0)))

    found = heated(twice, level(140.0, 1800.0), 20.0, warmer_k=np.array([0.0, 10.0]))

    alone = heated(bodies(27.0), level(150.0, 1800.0), 20.0)
    assert found.core[1] == pytest.approx(alone.core[0], rel=1e-12)
    assert (found.core[1][1:] > found.core[0][1:]).all()


@given(st.floats(1e-6, 3.0), st.sampled_from(list(Shape)))
def test_water_left_goes_back_to_the_time_it_took(fourier: float, shape: Shape) -> None:
    left = float(moisture_left(fourier, shape)[0])
    if left > 1e-8:
        assert fourier_for(left, shape) == pytest.approx(fourier, rel=1e-5, abs=1e-12)


@pytest.mark.parametrize("shape", list(Shape))
def test_the_early_law_and_the_series_meet(shape: Shape) -> None:
    """A thousand terms of the series at Fourier numbers on both sides of where the laws change."""
    n = np.arange(1, 1001)
    for fourier in (1e-3, 0.0299999, 0.03, 0.05):
        if shape is Shape.SPHERE:
            whole = float((6 / (math.pi * n) ** 2 * np.exp(-((math.pi * n) ** 2) * fourier)).sum())
        else:
            odd = 2 * n - 1
            whole = float((8 / (math.pi * odd) ** 2 * np.exp(-((math.pi * odd / 2) ** 2) * fourier)).sum())
        assert float(moisture_left(fourier, shape)[0]) == pytest.approx(whole, rel=1e-9)


SETUP = CoreSetup(Weighing(1000.0, 948.0), Span(20.0, 27.0, 35.0), 20.0, 5.0)


@pytest.mark.parametrize("body", list(Body))
def test_the_range_of_the_inside_holds_its_middle_and_repeats_itself(body: Body) -> None:
    setup = CoreSetup(SETUP.weighing, SETUP.transfer, 20.0, 5.0, body=body)
    one, two = (bean_core(level(140.0, 1800.0), setup) for _ in range(2))

    assert np.array_equal(one.core_low, two.core_low)
    assert (one.core_low <= one.core).all()
    assert (one.core <= one.core_high).all()
    assert one.hottest.low <= one.hottest.value <= one.hottest.high
    assert one.hottest.value < one.dry_hottest
    assert one.evaporated[-1] == pytest.approx(one.loss.water.value, rel=1e-7)


def test_the_diffusivity_found_is_that_of_drying_cocoa() -> None:
    """Abstracts [cocoa-drying]: 0.2 to 4.5e-10 m²/s at 40 to 80 °C; here it follows from the end weight."""
    found = bean_core(level(140.0, 1800.0), SETUP)

    assert 0.2e-10 < found.diffusivity < 4.5e-10


def test_what_widens_the_inside_most_is_named() -> None:
    unsure_air = CoreSetup(SETUP.weighing, Span(26.9, 27.0, 27.1), 20.0, 15.0)
    unsure_heat = CoreSetup(SETUP.weighing, Span(10.0, 27.0, 60.0), 20.0, 0.01)

    assert bean_core(level(140.0, 1800.0), unsure_air).widest == ("how far the air is off",)
    assert bean_core(level(140.0, 900.0), unsure_heat).widest[0] == "heat transfer from the air"


@pytest.mark.parametrize("celsius", [59.0, 201.0])
def test_air_outside_the_model_is_refused(celsius: float) -> None:
    with pytest.raises(OutOfRange):
        bean_core(level(celsius, 1800.0), SETUP)


def test_weights_that_do_not_fit_are_refused() -> None:
    with pytest.raises(InputError, match="do not fit"):
        bean_core(level(140.0, 1800.0), CoreSetup(Weighing(1000.0, 850.0), SETUP.transfer, 20.0, 5.0))


def test_nothing_lost_is_a_bean_that_stays_as_wet_as_it_was() -> None:
    as_before = Weighing(1000.0, 1000.0, Span.exactly(0.065), Span.exactly(0.065))
    found = bean_core(level(140.0, 1800.0), CoreSetup(as_before, SETUP.transfer, 20.0, 5.0))

    assert found.evaporated.max() == 0.0
    assert found.hottest.value == pytest.approx(found.dry_hottest, abs=1e-9)


def test_no_picture_is_drawn_across_a_gap_in_the_air() -> None:
    torn = Curve(np.array([0.0, 290.0, 1500.0, 2100.0]), np.full(4, 140.0), 660.0)

    with pytest.raises(InputError, match=r"no reading from 4\.8 to 25\.0 min"):
        bean_core(torn, SETUP)
    assert bean_core(Curve(torn.times_s, torn.celsius, 1300.0), SETUP).core.size


def test_one_reading_of_the_air_is_too_few() -> None:
    with pytest.raises(InputError, match="too few"):
        heated(bodies(27.0), Curve(np.array([0.0]), np.array([140.0]), 1.0), 20.0)


def test_more_water_than_there_was_cannot_leave() -> None:
    with pytest.raises(OutOfRange):
        heated(bodies(27.0), level(140.0, 900.0), 20.0, drying(0.07))


def test_bodies_have_one_value_each_above_zero() -> None:
    with pytest.raises(InputError):
        bodies(0.0)
    with pytest.raises(InputError):
        Bodies(Shape.SPHERE, *(np.ones(count) for count in (1, 1, 2, 1, 1)))


def test_drying_that_is_not_closed_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("nibsmith.science.roast.core._MOST_ROUNDS", 1)

    with pytest.raises(OutOfRange, match="No speed of drying"):
        heated(bodies(27.0), level(140.0, 1800.0), 20.0, drying())
