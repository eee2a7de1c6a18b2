"""Plain conduction against worked examples of three textbooks, their tables, and Neumann's solution.

Inputs and printed answers of the examples are those of a collection of worked textbook examples (Geankoplis
chapter 5, Incropera and DeWitt chapter 5, Cengel chapter 4). Where a book reads a chart or interpolates a
table, its answer is off by more than its digits; the test then says so and by how much, and holds the exact
one.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from nibsmith.science.cool import (
    Bar,
    Faces,
    Shape,
    Slab,
    cool_bar,
    cool_many,
    excess_left,
    front_constant,
    front_depth,
    lumped_left,
    modes,
)
from nibsmith.science.cool.one import Layers
from nibsmith.science.temper import GROWN, Fat, heats

# First roots and weights as Incropera and DeWitt print them in table 5.1, four digits; the table was
# remembered, and each number agrees with the exact root.
TABLE_5_1 = {
    0.01: (0.0998, 1.0017, 0.1412, 1.0025, 0.1730, 1.0030),
    0.05: (0.2218, 1.0082, 0.3143, 1.0124, 0.3854, 1.0150),
    0.1: (0.3111, 1.0161, 0.4417, 1.0246, 0.5423, 1.0298),
    0.2: (0.4328, 1.0311, 0.6170, 1.0483, 0.7593, 1.0592),
    0.3: (0.5218, 1.0450, 0.7465, 1.0712, 0.9208, 1.0880),
    0.5: (0.6533, 1.0701, 0.9408, 1.1143, 1.1656, 1.1441),
    0.8: (0.7910, 1.1016, 1.1490, 1.1724, 1.4320, 1.2236),
    1: (0.8603, 1.1191, 1.2558, 1.2071, 1.5708, 1.2732),
    1.5: (0.9882, 1.1537, 1.4569, 1.2807, 1.8366, 1.3850),
    2: (1.0769, 1.1785, 1.5994, 1.3384, 2.0288, 1.4793),
    5: (1.3138, 1.2402, 1.9898, 1.5029, 2.5704, 1.7870),
    10: (1.4289, 1.2620, 2.1795, 1.5677, 2.8363, 1.9249),
    100: (1.5552, 1.2731, 2.3809, 1.6015, 3.1102, 1.9990),
    1e9: (1.5708, 1.2732, 2.4048, 1.6020, 3.1416, 2.0000),
}
PRINTED = 5.1e-5


@pytest.mark.parametrize("biot", TABLE_5_1)
@pytest.mark.parametrize(("place", "shape"), list(enumerate(Shape)))
def test_first_roots_and_weights_are_those_of_the_table(biot: float, place: int, shape: Shape) -> None:
    first = modes(shape, biot, 1)[0]

    root, weight = TABLE_5_1[biot][2 * place : 2 * place + 2]
    assert first.eigenvalue == pytest.approx(root, abs=PRINTED)
    assert first.weight == pytest.approx(weight, abs=PRINTED)


def test_geankoplis_5_2_1_a_steel_ball_of_one_temperature() -> None:
    constant_s = 7849 * 460.6 * 0.0254 / 3 / 11.36

    celsius = 394.3 + (699.9 - 394.3) * lumped_left(3600, constant_s)

    assert celsius == pytest.approx(474.6, abs=0.05)


def test_cengel_4_1_a_junction_reads_99_percent_after_ten_seconds() -> None:
    constant_s = 8500 * 320 * (0.001 / 6) / 210

    assert 1 / constant_s == pytest.approx(0.462, abs=0.0015)  # the book rounds to 0.462
    assert lumped_left(9.94, constant_s) == pytest.approx(0.01, rel=0.005)


def test_incropera_5_4_a_pipe_wall_as_a_slab() -> None:
    biot, fourier = 500 * 0.04 / 63.9, 18.8e-6 * 480 / 0.04**2
    middle = 60 + (-20 - 60) * excess_left(Shape.SLAB, biot, fourier)
    surface = 60 + (-20 - 60) * excess_left(Shape.SLAB, biot, fourier, 1.0)

    assert middle == pytest.approx(43.017, abs=0.0015)
    assert surface == pytest.approx(45.364, abs=0.0015)
    # The book has 42.9 °C and -7400 W/m² from a root rounded to 0.531.
    assert middle == pytest.approx(42.9, abs=0.15)
    assert 500 * (surface - 60) == pytest.approx(-7318, abs=1.5)


def test_incropera_5_5_a_sphere_in_water() -> None:
    first = modes(Shape.SPHERE, 6000 * 0.005 / 20, 1)[0]
    fourier = math.log(first.weight / ((50 - 20) / (335 - 20))) / first.eigenvalue**2

    assert (first.eigenvalue, first.weight) == pytest.approx((1.836597, 1.384963), abs=5e-7)
    # The book interpolates its table to 1.800 and 1.376 and so gets 3.1 s: the exact answer is 2.979 s.
    assert fourier * 0.005**2 / 6.66e-6 == pytest.approx(2.979, abs=0.0005)


def test_incropera_5_5_the_same_sphere_in_air_before() -> None:
    # Density times heat capacity from k and alpha: 20 / 6.66e-6 = 3.0e6. The book prints 94 s to cool from
    # 400 to 335 °C in air of 20 °C; half a second of that is 0.0008 of what is left.
    constant_s = 3000 * 1000 * 0.005 / 3 / 10

    left = lumped_left(94.0, constant_s)

    assert left == pytest.approx((335 - 20) / (400 - 20), abs=0.0008)
    assert lumped_left(93.0, constant_s) - left > 0.0008  # another second would be told apart


def test_cengel_4_3_an_egg_is_done_after_14_4_minutes() -> None:
    biot = 1200 * 0.025 / 0.627
    first = modes(Shape.SPHERE, biot, 1)[0]
    fourier = math.log(first.weight / ((95 - 70) / (95 - 5))) / first.eigenvalue**2
    seconds = fourier * 0.025**2 / 0.151e-6

    assert (first.eigenvalue, first.weight) == pytest.approx((3.0760, 1.9959), abs=5e-5)
    assert seconds / 60 == pytest.approx(14.4, abs=0.05)
    # With all terms, a second less; one term alone is what the book uses.
    assert excess_left(Shape.SPHERE, biot, 0.151e-6 * 861.5 / 0.025**2) == pytest.approx(25 / 90, abs=2e-4)


def test_geankoplis_5_3_3_and_4_a_can_of_puree() -> None:
    radial = excess_left(Shape.CYLINDER, 4540 * 0.03405 / 0.83, 2.007e-7 * 2700 / 0.03405**2, terms=1)
    ends = excess_left(Shape.SLAB, 4540 * 0.0508 / 0.83, 2.007e-7 * 2700 / 0.0508**2, terms=1)
    long_can, can = (115.6 + (29.4 - 115.6) * left for left in (radial, radial * ends))

    assert (radial, ends) == pytest.approx((0.11048, 0.76120), abs=1e-4)
    # The book reads charts of the first term: 104.4 and 106.6 °C, 1.7 K under what that term gives.
    assert (long_can, can) == pytest.approx((106.08, 108.35), abs=0.02)
    assert (long_can - 104.4, can - 106.6) == pytest.approx((1.7, 1.75), abs=0.05)
    # All terms: half a percent less is left along the can.
    assert excess_left(Shape.SLAB, 4540 * 0.0508 / 0.83, 2.007e-7 * 2700 / 0.0508**2) == pytest.approx(
        0.7571, abs=1e-4
    )


@pytest.mark.parametrize(
    ("stefan", "constant"),
    [
        (0.01, 0.070593),
        (0.05, 0.156821),
        (0.1, 0.220016),
        (0.2, 0.306424),
        (0.25, 0.340082),
        (0.5, 0.464786),
        (1, 0.620063),
        (2, 0.800601),
        (5, 1.059687),
    ],
)
def test_neumanns_front_constant_solves_its_equation(stefan: float, constant: float) -> None:
    found = front_constant(stefan)

    assert found == pytest.approx(constant, abs=6e-7)
    assert found * math.exp(found**2) * math.erf(found) == pytest.approx(
        stefan / math.sqrt(math.pi), rel=1e-10
    )


def test_a_slow_front_is_the_root_of_half_the_stefan_number() -> None:
    assert front_constant(1e-6) == pytest.approx(math.sqrt(0.5e-6), rel=1e-5)


def test_a_front_in_chocolate_runs_with_the_root_of_time() -> None:
    stefan, diffusivity = STEFAN, DIFFUSIVITY

    assert front_depth(stefan, diffusivity, 300.0) == pytest.approx(5.849e-3, abs=5e-7)
    assert front_depth(stefan, diffusivity, 876.8) == pytest.approx(
        2 * front_depth(stefan, diffusivity, 219.2)
    )
    assert front_depth(stefan, diffusivity, 219.2) == pytest.approx(5e-3, rel=1e-4)


# A liquid at its melting point that touches a wall at 12 °C: melting at 28 °C, 46 kJ/kg, 1590 J/(kg K),
# 0.25 W/(m K), 1300 kg/m³. Fat of 0.336 of the mass has that heat, at the 136.9 kJ/kg of form V.
MELTING, WALL, LATENT = 28.0, 12.0, 46_000.0
STEFAN, DIFFUSIVITY = 1590 * (MELTING - WALL) / LATENT, 0.25 / (1300 * 1590)
FROZEN_AT = np.array([0.0, 75.0, 150.0, 300.0])


def frozen(monkeypatch: pytest.MonkeyPatch, width_k: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Depth that is frozen [m], temperatures and places [m] after 300 s, by the layers of the solver.

    The kinetics of the four states give way to a fat that freezes within so many kelvin, a second behind its
    temperature. Layers are taken as they are: a wall that touches lies outside the bounds for air.
    """

    def narrow(celsius: np.ndarray, forms: np.ndarray, fat: Fat) -> np.ndarray:
        change = np.zeros_like(forms)
        change[GROWN] = 60 * (np.clip((MELTING - celsius) / width_k, 0, 1) - forms[GROWN])
        return change

    monkeypatch.setattr("nibsmith.science.cool.one.rates", narrow)
    one = np.ones(1)
    slab = Slab(0.01 * one, 0.25 * one, 1300 * one, 1590 * one)
    fat = Fat(LATENT / heats()[GROWN] * one, 0 * one, one, one)
    bar = Bar(slab, Faces(WALL * one, 1e7 * one, 0 * one), fat, MELTING * one, 0 * one)
    states = Layers(bar, 60).solved(FROZEN_AT, 1e-6)
    places = 0.01 * (np.arange(60) + 0.5) / 60
    return 0.01 * states[:, :, 1 + GROWN].mean(axis=1), states[-1, :, 0], places


def test_the_solver_with_latent_heat_freezes_as_deep_as_neumann_says(monkeypatch: pytest.MonkeyPatch) -> None:
    # A range of 1 K in place of a sharp front, and 60 layers: 0.4 % short, and half a percent is allowed; a
    # range of 2 K is 1.2 % short. What is short falls with the width, so that it is the width's.
    exact_m = np.array([front_depth(STEFAN, DIFFUSIVITY, seconds) for seconds in FROZEN_AT[1:]])

    narrow, wide = (frozen(monkeypatch, width)[0][1:] / exact_m - 1 for width in (1.0, 2.0))

    assert np.abs(narrow).max() < 0.005
    assert (np.abs(narrow) < np.abs(wide) / 2).all()


def test_behind_the_front_the_temperature_is_neumanns(monkeypatch: pytest.MonkeyPatch) -> None:
    # T = T_wall + (T_m - T_wall)·erf(x / 2 sqrt(alpha t)) / erf(lambda); half of the melting range beside it.
    _, celsius, places = frozen(monkeypatch, 1.0)
    scaled = places / (2 * math.sqrt(DIFFUSIVITY * 300))
    behind = scaled < 0.9 * front_constant(STEFAN)

    wanted = [math.erf(one) / math.erf(front_constant(STEFAN)) for one in scaled[behind]]
    assert behind.sum() > 25
    assert celsius[behind] == pytest.approx(WALL + (MELTING - WALL) * np.array(wanted), abs=0.5)
    assert celsius[-1] == pytest.approx(MELTING, abs=0.05)


# A slab of 10 mm without any fat: plain conduction, which the series solves.
PLAIN = Slab(0.01, 0.24, 1250.0, 1600.0)
SECONDS = 923.3


def plain(top: float, bottom: float) -> Bar:
    return Bar(PLAIN, Faces(12.0, top, bottom), Fat(0.0), 31.0, 0.0)


def exact(seconds: float, place: float) -> float:
    biot, fourier = 20 * 0.005 / 0.24, 0.24 / (1250 * 1600) * seconds / 0.005**2
    return 12 + 19 * excess_left(Shape.SLAB, biot, fourier, abs(2 * place - 1))


def test_a_plain_slab_needs_as_long_as_the_series_says() -> None:
    # From 31 to 16 °C in the middle: 923.3 s with both faces open, 35.66 min with one closed.
    assert exact(SECONDS, 0.5) == pytest.approx(16, abs=0.002)

    for course in (cool_bar(plain(20.0, 20.0), SECONDS / 60), cool_bar(plain(20.0, 0.0), 35.66)):
        assert course.core[-1, 0] == pytest.approx(16, abs=0.005)


def test_a_plain_slab_in_points_is_the_series_to_a_hundred_thousandth_of_a_kelvin() -> None:
    course = cool_many(plain(20.0, 20.0), 20)

    for place, found in zip(course.places, course.celsius[-1, :, 0], strict=True):
        assert found == pytest.approx(exact(1200.0, float(place)), abs=1e-5)


@pytest.mark.parametrize("seconds", [60, 300])
def test_layers_close_in_on_the_series_with_the_square_of_their_width(seconds: float) -> None:
    errors = []
    for cells in (10, 20, 40):
        course = cool_bar(plain(20.0, 20.0), seconds / 60, cells=cells, rtol=1e-9)
        wanted = [exact(seconds, float(place)) for place in course.places[1:-1]]
        errors.append(np.abs(course.celsius[-1, 1:-1, 0] - wanted).max())

    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert orders == pytest.approx([2, 2], abs=0.1)


def test_points_close_in_faster_than_any_power() -> None:
    errors = []
    for points in (4, 6, 8):
        course = cool_many(plain(20.0, 20.0), 2, points=points)
        wanted = [exact(120.0, float(place)) for place in course.places]
        errors.append(np.abs(course.celsius[-1, :, 0] - wanted).max())

    orders = -np.diff(np.log(errors)) / np.diff(np.log([4, 6, 8]))
    assert orders[0] > 3
    assert orders[1] > orders[0]
