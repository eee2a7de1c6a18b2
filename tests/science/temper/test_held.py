"""A bowl that is held warm, against the four-state model solved by scipy and against each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.temper import Fat, coolest_hold, held_bowl, melts_away, rates, thick_after

DARK = Fat(0.35)


@pytest.mark.parametrize("celsius", [30.0, 31.5, 32.5])
def test_a_held_bowl_is_the_four_state_model_at_rest(celsius: float) -> None:
    minutes = np.array([0.0, 15.0, 45.0, 90.0])

    solved = solve_ivp(
        lambda _, forms: rates(celsius, forms, DARK),
        (0, 90),
        [0, 0, 0.02, 0],
        rtol=1e-9,
        atol=1e-12,
        t_eval=minutes,
    )

    assert held_bowl(celsius, DARK).solids(minutes) == pytest.approx(solved.y.sum(axis=0), rel=1e-6)


def test_the_usual_bowl_is_too_thick_after_about_three_quarters_of_an_hour() -> None:
    bowl = held_bowl(31.5, DARK)

    assert bowl.minutes == pytest.approx(45, abs=5)
    assert bowl.doubling_minutes == pytest.approx(25, abs=0.1)
    assert bowl.solids(np.array([bowl.minutes]))[0] == pytest.approx(0.06)


@given(st.floats(30, 33), st.floats(0.1, 1))
def test_a_warmer_bowl_stays_thin_longer(celsius: float, warmer: float) -> None:
    cool, warm = held_bowl(celsius, DARK).minutes, held_bowl(celsius + warmer, DARK).minutes

    assert cool is not None
    assert warm is None or warm > cool


@given(st.floats(31, 33), st.floats(0, 2))
def test_other_fat_makes_the_same_bowl_at_a_lower_temperature(celsius: float, lowering: float) -> None:
    soft = held_bowl(celsius - lowering, Fat(0.35, lowering_k=lowering))

    assert soft.minutes == pytest.approx(held_bowl(celsius, DARK).minutes, rel=1e-9)


@pytest.mark.parametrize("minutes", [20.0, 60.0, 120.0])
def test_the_coolest_hold_is_where_the_time_is_just_reached(minutes: float) -> None:
    assert held_bowl(coolest_hold(DARK, minutes), DARK).minutes == pytest.approx(minutes, rel=1e-6)


def test_a_short_hold_may_be_as_cool_as_the_model_goes() -> None:
    assert coolest_hold(DARK, 0.1) == pytest.approx(29.7)


def test_a_bowl_that_keeps_its_seeds_never_falls_below_them() -> None:
    assert not melts_away(34.5, DARK)
    assert melts_away(35.1, DARK)
    assert held_bowl(34.0, DARK).minutes is None


@pytest.mark.parametrize(("celsius", "seed"), [(31.5, 0.0), (31.5, 0.07), (31.5, -1.0)])
def test_a_bowl_without_seed_or_already_too_thick_is_refused(celsius: float, seed: float) -> None:
    with pytest.raises(InputError):
        held_bowl(celsius, DARK, seed)


def test_a_bowl_so_cool_that_other_crystals_grow_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"29\.7"):
        held_bowl(27.0, DARK)


def test_a_hold_takes_time() -> None:
    with pytest.raises(InputError):
        coolest_hold(DARK, 0.0)


@pytest.mark.parametrize("share", [0.2, 0.6])
def test_a_mass_leaner_or_fatter_than_the_rates_are_meant_for_is_refused(share: float) -> None:
    with pytest.raises(OutOfRange, match="28 to 45 % fat"):
        held_bowl(31.5, Fat(share))


def test_many_bowls_are_each_as_one() -> None:
    warm, seeds, growth = (
        np.array([31.0, 31.5, 34.5]),
        np.array([0.01, 0.02, 0.03]),
        np.array([0.8, 1.0, 1.2]),
    )

    found = thick_after(warm, Fat(0.35, growth=growth), seeds)

    alone = [
        held_bowl(one, Fat(0.35, growth=rate), seed).minutes or np.inf
        for one, seed, rate in zip(warm.tolist(), seeds.tolist(), growth.tolist(), strict=True)
    ]
    assert found == pytest.approx(alone, rel=1e-12)
    assert thick_after(20.0, DARK, 0.02) == pytest.approx(thick_after(29.7, DARK, 0.02))
    assert thick_after(31.5, DARK, 0.07) == 0
