"""The four-state model: its coefficients, one fat alone, and a cup, against separate calculations.

Numbers given to many digits were worked out beforehand by another program from the same equations; the cup is
solved again here, from the equations written out plainly, with an implicit solver of scipy.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from nibsmith.science.errors import InputError
from nibsmith.science.temper import (
    BETA_PRIME,
    GROWN,
    TURNED,
    Crystal,
    Cup,
    Fat,
    cup_curve,
    growth_rate,
    heats,
    origins,
    rates,
    seeded,
    solid_fat,
    turning_minutes,
)

FORMS = st.lists(st.floats(0, 1), min_size=4, max_size=4)


@pytest.mark.parametrize(
    ("celsius", "rate"),
    [
        (12, 1.24774),
        (16, 0.83186),
        (20, 0.5),
        (23, 0.30624),
        (28, 0.08832),
        (30, 0.03791),
        (31.5, 0.013889),
        (32, 0.008507),
    ],
)
def test_growth_slows_with_the_square_of_the_distance_to_melting(celsius: float, rate: float) -> None:
    assert growth_rate(celsius) == pytest.approx(rate, abs=5e-6)


@pytest.mark.parametrize(
    ("celsius", "minutes"), [(0, 10080), (5, 1449.93), (10, 208.56), (15, 30), (-5, 10080), (20, 30)]
)
def test_alpha_lives_as_read_and_a_straight_logarithm_between(celsius: float, minutes: float) -> None:
    assert turning_minutes(celsius, Crystal.ALPHA) == pytest.approx(minutes, rel=1e-5)


@pytest.mark.parametrize(
    ("celsius", "hours"), [(15, 672), (18, 165.29), (20, 64.888), (22, 25.473), (24, 10), (30, 10)]
)
def test_beta_prime_lives_as_read_and_a_straight_logarithm_between(celsius: float, hours: float) -> None:
    assert turning_minutes(celsius, Crystal.BETA_PRIME) == pytest.approx(60 * hours, rel=1e-5)


def test_form_v_does_not_turn() -> None:
    with pytest.raises(InputError):
        turning_minutes(20.0, Crystal.BETA)


@pytest.mark.parametrize(
    ("celsius", "beta", "prime", "alpha"),
    [
        (20, 0.76, 0.63204, 0.40610),
        (28, 0.5484, 0.07246, 0.0),
        (31.5, 0.3183, 0.0, 0.0),
        (10, 0.86, 0.797, 0.75488),
    ],
)
def test_lower_forms_follow_the_solids_of_form_v_moved_down(
    celsius: float, beta: float, prime: float, alpha: float
) -> None:
    found = [solid_fat(celsius, crystal) for crystal in (Crystal.BETA, Crystal.BETA_PRIME, Crystal.ALPHA)]

    # Lines between the points of the table: at 10 °C the lower ones are read at 16.3 and 20.5 °C.
    assert found == pytest.approx([beta, prime, alpha], abs=5e-6) if celsius > 10 else found[0] == beta


def test_cocoa_butters_are_ordered_by_hardness_as_their_regions_are() -> None:
    # Hardness order read in an abstract (JAOCS 66:1771): Asia over Africa over South America.
    at_25 = {origin: solid_fat(25.0, origin=origin) for origin in origins()}

    assert min(at_25["malaysia"], at_25["india"]) > max(at_25["ghana"], at_25["ivory_coast"])
    assert min(at_25["ghana"], at_25["ivory_coast"]) > at_25["brazil"]


def test_an_origin_that_is_not_tabled_is_refused() -> None:
    with pytest.raises(InputError, match="ghana"):
        solid_fat(20.0, origin="atlantis")


@given(st.floats(-20, 60), st.floats(0, 20))
def test_warmer_fat_is_never_more_solid(celsius: float, warmer: float) -> None:
    for crystal in Crystal:
        assert solid_fat(celsius + warmer, crystal) <= solid_fat(celsius, crystal)


@given(st.floats(0, 40))
def test_forms_are_ordered_by_their_melting_points(celsius: float) -> None:
    assert solid_fat(celsius, Crystal.ALPHA) <= solid_fat(celsius, Crystal.BETA_PRIME) <= solid_fat(celsius)


@given(st.floats(0, 40), FORMS)
def test_crystals_never_fall_below_none_nor_grow_past_what_is_solid_at_rest(
    celsius: float, shares: list[float]
) -> None:
    forms = np.array(shares) / max(1.0, sum(shares))
    change = rates(celsius, forms, Fat(0.35))

    assert (change[forms == 0] >= 0).all()
    if forms.sum() > solid_fat(celsius):
        assert change.sum() <= 1e-9


@given(st.floats(0, 40), FORMS)
def test_lowering_is_the_same_as_warmer_fat_of_which_less_is_cocoa_butter(
    celsius: float, shares: list[float]
) -> None:
    forms = np.array(shares) / 4

    lowered = rates(celsius, forms, Fat(0.35, lowering_k=2.0))
    warmer = rates(celsius + 2.0, forms, Fat(0.35))

    assert lowered == pytest.approx(warmer, abs=1e-12)


def test_many_masses_are_the_same_masses_one_by_one() -> None:
    random = np.random.default_rng(1)
    celsius, forms = random.uniform(4, 36, 30), random.dirichlet(np.ones(5), 30).T[:4]
    lowering, butter = random.uniform(0, 3, 30), random.uniform(0.6, 1, 30)

    together = rates(celsius, forms, Fat(0.35, lowering, butter))

    for lane in range(30):
        alone = rates(
            float(celsius[lane]), forms[:, lane], Fat(0.35, float(lowering[lane]), float(butter[lane]))
        )
        assert together[:, lane] == pytest.approx(alone, abs=1e-14)


def test_a_seed_at_rest_grows_as_the_closed_form_says() -> None:
    # dh/dt = K (h³ - h), B = .76, K = .5: x(t) = b/B from .02/.76.
    printed = {0: 0.026316, 1: 0.067057, 2: 0.156293, 3: 0.309996, 5: 0.669062, 10: 0.971225}
    start = 1 - 0.02 / 0.76
    for minutes, share in printed.items():
        closed = 1 - 1 / math.sqrt(1 + (start**-2 - 1) * math.exp(2 * 0.5 * minutes))
        assert closed == pytest.approx(share, abs=5e-7)

    def alone(_: float, grown: np.ndarray) -> np.ndarray:
        # At 30 °C no other form grows, so form V is alone; K and B are those of 30 °C.
        return rates(30.0, np.array([0.0, 0.0, grown[0], 0.0]), Fat(0.35))[GROWN : GROWN + 1]

    solved = solve_ivp(alone, (0, 60), [0.02], rtol=1e-10, atol=1e-12)
    start = 1 - 0.02 / 0.45
    left = 1 / math.sqrt(1 + (start**-2 - 1) * math.exp(2 * growth_rate(30.0) * 60))
    assert solved.y[0, -1] == pytest.approx(0.45 * (1 - left), rel=1e-7)


def test_beta_prime_turns_into_form_v_and_never_back() -> None:
    change = rates(22.0, np.array([0.0, 0.4, 0.0, 0.0]), Fat(0.35))

    assert change[TURNED] == pytest.approx(3 * 0.4 / (60 * 25.473), rel=1e-4)
    assert change[BETA_PRIME] < 0 or solid_fat(22.0, Crystal.BETA_PRIME) > 0.4


def test_form_v_grows_only_on_seeds() -> None:
    # Read in two abstracts: never directly from the melt, but from memory or seed crystals.
    change = rates(25.0, np.zeros(4), Fat(0.35))

    assert change[GROWN] == 0
    assert change[TURNED] == 0


CUP = Cup(coolant_celsius=8.0, start_celsius=31.5, constant_minutes=5.0, heat_capacity=1600.0)
# seed: steepest slope after the fall [K/min], when [min], temperature there [°C]; tables by another program.
CURVES = {
    0.002: (0.73, 6.4, 19.9),
    0.005: (0.65, 5.9, 20.4),
    0.01: (0.54, 5.5, 20.8),
    0.02: (0.37, 5.2, 21.3),
    0.03: (0.25, 5.2, 21.6),
    0.05: (0.08, 4.9, 21.9),
    0.08: (-0.13, 4.7, 22.3),
}


@pytest.mark.parametrize("seed", CURVES)
def test_a_cup_bends_as_another_program_found(seed: float) -> None:
    curve = cup_curve(seed, Fat(0.32), CUP, 8.0)
    slopes = np.gradient(curve.celsius, curve.minutes)
    bend = int(np.argmax(slopes))

    slope, minutes, celsius = CURVES[seed]
    assert slopes[bend] == pytest.approx(slope, abs=0.015)
    assert curve.minutes[bend] == pytest.approx(minutes, abs=0.1)
    assert curve.celsius[bend] == pytest.approx(celsius, abs=0.1)


def test_a_cup_follows_the_course_another_program_found() -> None:
    curve = cup_curve(0.02, Fat(0.32), CUP, 15.0)

    seconds = [60 * minutes for minutes in (1, 2, 4, 6, 8, 10, 15)]
    assert curve.celsius[seconds] == pytest.approx(
        [27.30, 24.04, 21.06, 21.55, 21.27, 19.73, 14.45], abs=0.011
    )


def test_a_cup_is_what_an_implicit_solver_makes_of_the_equations_written_out() -> None:
    knots = ([-20, 10, 15, 20, 25, 30, 35, 36], [0.95, 0.86, 0.81, 0.76, 0.696, 0.45, 0.011, 0])

    def change(_: float, y: np.ndarray) -> list[float]:
        t, a, p, b, c = y
        sv, sp, sa = (np.interp(t + shift, *knots) for shift in (0, 6.3, 10.5))
        ta = math.exp(math.log(10080) + math.log(30 / 10080) * min(max(t / 15, 0), 1))
        tp = math.exp(math.log(40320) + math.log(600 / 40320) * min(max((t - 15) / 9, 0), 1))
        room = max(sv - a - p - c, 1e-9)
        h = 1 - b / room
        k = 0.5 * (max(33.8 - t, 0) / 13.8) ** 2
        s = a + p + b + c
        da = 0.03 * max(0, 23.3 - t) * max(0, sa - s) - 3 * a / ta - 2 * max(0, a - sa)
        dp = 4e-4 * max(0, 27.5 - t) ** 2 * max(0, sp - s) + 3 * a / ta - 3 * p / tp - 2 * max(0, p - sp)
        db = k * room * (h - h**3) if b < room else -2 * (b - room)
        dc = 3 * p / tp - 2 * max(0, c - max(sv - b, 0))
        heat = 0.32 / 1.6 * (86.2 * da + 117.6 * dp + 136.9 * (db + dc))
        return [(8 - t) / 5 + heat, da, dp, db, dc]

    solved = solve_ivp(
        change, (0, 12), [31.5, 0, 0, 0.02, 0], "Radau", rtol=1e-9, atol=1e-11, t_eval=np.arange(13.0)
    )
    curve = cup_curve(0.02, Fat(0.32), CUP, 12.0)

    assert curve.celsius[::60] == pytest.approx(solved.y[0], abs=1e-3)
    assert curve.forms[:, ::60] == pytest.approx(solved.y[1:], abs=1e-4)


@given(st.sampled_from([0.0, 0.02, 0.06]), st.floats(2, 16), st.floats(28, 34))
@settings(max_examples=10)
def test_a_cup_keeps_the_heat_that_it_does_not_give_to_the_coolant(
    seed: float, coolant: float, start: float
) -> None:
    cup = Cup(coolant, start, 5.0, 1600.0)
    curve = cup_curve(seed, Fat(0.32), cup, 6.0)

    gained = (curve.forms[:, -1] - curve.forms[:, 0]) @ heats() * 0.32
    lost = 1600 * (curve.celsius[0] - curve.celsius[-1]) + gained
    flow = 1600 * (curve.celsius - coolant) / 5
    given_off = np.trapezoid(flow, curve.minutes)
    assert lost == pytest.approx(given_off, rel=1e-4)


@pytest.mark.parametrize(("seed", "minutes"), [(-0.1, 5.0), (1.0, 5.0), (0.02, 0.0)])
def test_a_cup_that_cannot_be_is_refused(seed: float, minutes: float) -> None:
    with pytest.raises(InputError):
        cup_curve(seed, Fat(0.32), CUP, minutes)


def test_seeds_are_form_v_everywhere() -> None:
    forms = seeded(0.02, (3, 2))

    assert forms.shape == (4, 3, 2)
    assert (forms[GROWN] == 0.02).all()
    assert forms.sum() == pytest.approx(0.12)
