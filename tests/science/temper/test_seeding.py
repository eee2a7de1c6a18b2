"""The heat balance of seeding, against balances done by hand and against itself from every side."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.temper import (
    Around,
    Seeding,
    Unknown,
    balanced,
    crystal_warmth,
    melting_heat,
    mixed_with_butter,
    seeded_for,
    tabling_share,
    usual_around,
)

ALONE = Around(0.0, 0.0, 20.0, 0.0)
CASE = Seeding(1000.0, 45.0, 250.0, 20.0, 32.0, 1.0, 46.0, ALONE)


# 1000 g from 45 to 32 °C give 1.670·13·1000 = 21 710 J; a gram of seed takes 1.590·12 = 19.08 J, and 46 J for
# what melts.
@pytest.mark.parametrize(
    ("melted", "grams"), [(1.0, 333.6), (0.9, 359.0), (0.7, 423.4), (0.5, 515.9), (0.0, 1137.8)]
)
def test_seed_for_a_kilogram_at_45_is_the_balance_done_by_hand(melted: float, grams: float) -> None:
    found = seeded_for(replace(CASE, melted_share=melted), Unknown.SEED)

    assert found.seed_g == pytest.approx(grams, abs=0.05)
    assert found.seed_g == pytest.approx(21_710 / (19.08 + 46 * melted), rel=1e-12)


def test_a_fifth_of_seed_alone_does_not_cool_melted_mass_enough() -> None:
    # A quarter of seed on the melted mass is a fifth of the whole: air must do the rest.
    found = seeded_for(CASE, Unknown.TARGET)

    assert found.target_celsius == pytest.approx(34.63, abs=0.005)
    assert found.share_of_mass == 0.25


def test_a_steel_bowl_adds_about_an_eighth() -> None:
    mass_g, mass_celsius = 1200.0, 46.0
    case = replace(
        CASE, mass_g=mass_g, mass_celsius=mass_celsius, around=replace(usual_around(), minutes=0.0)
    )
    with_bowl = seeded_for(case, Unknown.SEED).seed_g
    without = seeded_for(replace(case, around=ALONE), Unknown.SEED).seed_g

    assert with_bowl / without - 1 == pytest.approx(0.12, abs=0.01)


CASES = st.builds(
    Seeding,
    st.floats(100, 20_000),
    st.floats(38, 55),
    st.just(0.0),
    st.floats(10, 25),
    st.floats(28, 33),
    st.floats(0.3, 1),
    st.floats(40, 50),
    st.builds(Around, st.floats(0, 2000), st.floats(400, 1900), st.floats(16, 25), st.floats(0, 5)),
)


@given(CASES, st.sampled_from(Unknown))
def test_every_unknown_comes_back_from_the_other_four(case: Seeding, unknown: Unknown) -> None:
    solved = seeded_for(case, Unknown.SEED)

    again = seeded_for(replace(solved, **{unknown.value: 0.0}), unknown)  # type: ignore[arg-type]

    assert getattr(again, unknown.value) == pytest.approx(getattr(solved, unknown.value), rel=1e-6)


@given(CASES)
def test_heat_given_is_heat_taken_up(case: Seeding) -> None:
    found = seeded_for(case, Unknown.SEED)

    assert found.from_mass + found.from_bowl == pytest.approx(found.to_room + found.to_seed, rel=1e-9)


@given(CASES)
def test_ten_percent_less_seed_leaves_it_warmer(case: Seeding) -> None:
    found = seeded_for(case, Unknown.SEED)
    less = seeded_for(replace(found, seed_g=0.9 * found.seed_g), Unknown.TARGET)

    assert less.target_celsius > found.target_celsius


def test_a_mass_that_the_room_cools_enough_needs_no_seed() -> None:
    case = replace(CASE, mass_celsius=32.5, around=Around(0.0, 0.0, 15.0, 30.0))

    with pytest.raises(OutOfRange, match="without any seed"):
        seeded_for(case, Unknown.SEED)


@pytest.mark.parametrize(
    ("change", "unknown"),
    [
        ({"mass_g": 0.0}, Unknown.SEED),
        ({"mass_g": -5.0}, Unknown.SEED),
        ({"seed_g": 0.0}, Unknown.TARGET),
        ({"seed_g": float("nan")}, Unknown.TARGET),
        ({"melted_share": 1.2}, Unknown.SEED),
        ({"around": Around(-1.0, 477.0, 20.0, 5.0)}, Unknown.SEED),
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, object], unknown: Unknown) -> None:
    with pytest.raises(InputError):
        seeded_for(replace(CASE, **change), unknown)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("change", "unknown"),
    [
        ({"mass_celsius": 30.0}, Unknown.SEED),
        ({"target_celsius": 19.0}, Unknown.SEED),
        ({"seed_g": 10.0}, Unknown.SEED_TEMPERATURE),
        ({"target_celsius": 45.0}, Unknown.MASS),
    ],
)
def test_temperatures_that_no_seed_can_have_are_refused(change: dict[str, float], unknown: Unknown) -> None:
    found = replace(CASE, **change)  # type: ignore[arg-type]
    if unknown is Unknown.SEED_TEMPERATURE:
        # Ten grams would have to be far colder than any freezer: the answer says so, the balance does not.
        assert seeded_for(found, unknown).seed_celsius < -1000
        return
    with pytest.raises(OutOfRange):
        seeded_for(found, unknown)


@pytest.mark.parametrize(("melted", "fall"), [(0.0, 0.17), (1.0, 1.11)])
def test_a_percent_of_butter_seed_hardly_cools_a_mass(melted: float, fall: float) -> None:
    # 10 g at 20 °C into 990 g at 34: 10·2.01·14 J, and 10·157 J if it melts, from 990·1.67 + 10·2.01 J/K.
    assert 34 - mixed_with_butter(990.0, 34.0, 10.0, melted) == pytest.approx(fall, abs=0.005)


def test_butter_needs_a_mass() -> None:
    with pytest.raises(InputError):
        mixed_with_butter(0.0, 34.0, 10.0, 1.0)


@pytest.mark.parametrize(("target", "share"), [(31.5, 0.75), (32.0, 0.7222), (33.0, 2 / 3)])
def test_tabling_two_thirds_to_three_quarters_is_the_mixing_rule(target: float, share: float) -> None:
    assert tabling_share(45.0, 27.0, target) == pytest.approx(share, abs=5e-5)


@pytest.mark.parametrize("target", [26.0, 27.0, 45.0, 50.0])
def test_a_tabled_mass_comes_out_between_table_and_bowl(target: float) -> None:
    with pytest.raises(InputError):
        tabling_share(45.0, 27.0, target)


def test_crystals_warm_the_mass_by_their_heat() -> None:
    # 3 % of a 35 % fat at 136.9 J/g, over 1.67 J/(g K)
    assert crystal_warmth(0.03, 0.35) == pytest.approx(0.03 * 0.35 * 136.9 / 1.67)


def test_melting_ten_kilograms_takes_a_quarter_of_a_kilowatt_hour() -> None:
    joules = melting_heat(10_000.0, 20.0, 45.0, 46.0)

    assert joules / 3.6e6 == pytest.approx(0.241, abs=0.001)
    assert joules / 500 / 60 == pytest.approx(28.9, abs=0.1)


def test_melting_passes_the_melting_point() -> None:
    with pytest.raises(InputError):
        melting_heat(1000.0, 20.0, 30.0, 46.0)


def test_many_draws_are_worked_out_at_once() -> None:
    draws = balanced(replace(CASE, melted_share=np.array([1.0, 0.9, 0.0])), Unknown.SEED)

    assert draws == pytest.approx([333.6, 359.0, 1137.8], abs=0.05)


@given(CASES, st.sampled_from(Unknown))
def test_every_unknown_of_many_draws_is_that_of_one(case: Seeding, unknown: Unknown) -> None:
    solved = seeded_for(case, Unknown.SEED)
    shares = np.array([0.8 * solved.melted_share, solved.melted_share])

    def alone(share: float) -> float:
        try:
            return float(balanced(replace(solved, melted_share=share), unknown))
        except OutOfRange:  # less of it melts than the bowl alone gives heat for
            return float("inf")

    draws = np.asarray(balanced(replace(solved, melted_share=shares), unknown))

    assert draws == pytest.approx([alone(share) for share in shares.tolist()], rel=1e-9)
    assert draws[1] == pytest.approx(getattr(solved, unknown.value), rel=1e-9)


def test_a_draw_that_no_mass_balances_is_endless() -> None:
    case = replace(CASE, target_celsius=np.array([32.0, 46.0]))

    assert np.isfinite(balanced(case, Unknown.MASS)).tolist() == [True, False]
