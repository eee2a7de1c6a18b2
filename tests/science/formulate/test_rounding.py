"""Amounts on a scale, limits checked again on them, and doses too small to weigh."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import recipe_of
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import broken_limits, round_to_scale, share_limit, small_doses, with_margin
from nibsmith.science.mixture import Limit

steps = st.sampled_from([Decimal("0.01"), Decimal("0.1"), Decimal("0.5"), Decimal(1), Decimal(2), Decimal(5)])
masses = st.lists(st.floats(0.0, 5000.0), min_size=1, max_size=25).map(
    lambda amounts: {f"p{index}": amount for index, amount in enumerate(amounts)}
)


@given(masses, steps)
def test_every_amount_is_a_multiple_within_one_step_and_the_sum_is_the_rounded_total(amounts, step) -> None:  # type: ignore[no-untyped-def]
    rounded = round_to_scale(amounts, step)
    exact = {label: Fraction(repr(amount)) for label, amount in amounts.items()}

    for label, mass in rounded.masses_g.items():
        assert mass % step == 0
        assert abs(Fraction(mass) - exact[label]) < Fraction(step)
    total = sum(exact.values())
    assert abs(Fraction(rounded.total_g) - total) <= Fraction(step) / 2
    assert rounded.total_g % step == 0


@given(masses, steps)
def test_rounding_twice_changes_nothing(amounts, step) -> None:  # type: ignore[no-untyped-def]
    once = round_to_scale(amounts, step)

    assert round_to_scale(once.masses_g, step) == once


def test_the_largest_remainders_get_the_steps_that_are_missing() -> None:
    rounded = round_to_scale({"a": 33.4, "b": 33.4, "c": 33.2}, Decimal(1))

    assert list(rounded.masses_g.values()) == [34, 33, 33]  # 100, not 99; the earlier of two equals


def test_a_tenth_is_read_as_a_tenth() -> None:
    """0.1 + 0.2 on a scale of 0.1 g, where their binary sum is a little more."""
    rounded = round_to_scale({"a": 0.1, "b": 0.2, "c": 1e-9}, Decimal("0.1"))

    assert rounded.masses_g == {"a": Decimal("0.1"), "b": Decimal("0.2"), "c": Decimal(0)}


@pytest.mark.parametrize("step", [Decimal(0), Decimal(-1), Decimal("NaN"), Decimal("Infinity")])
def test_a_scale_without_a_resolution_is_refused(step: Decimal) -> None:
    with pytest.raises(InputError, match="resolution"):
        round_to_scale({"a": 1.0}, step)


@pytest.mark.parametrize("amount", [-0.1, float("nan"), float("inf")])
def test_an_amount_that_is_no_weight_is_refused(amount: float) -> None:
    with pytest.raises(InputError, match="not a weight"):
        round_to_scale({"a": amount}, Decimal(1))


def test_a_limit_missed_on_the_scale_is_named_and_one_kept_is_not() -> None:
    recipe = recipe_of({"cocoa_mass": 70.4, "sugar_granulated": 29.6})
    tight = share_limit(recipe, "cocoa_mass", low=0.704)
    rounded = round_to_scale({each.label: each.mass_g for each in recipe.parts}, Decimal(1))

    assert broken_limits([tight, share_limit(recipe, "cocoa_mass", low=0.7)], rounded) == (tight,)


def test_a_target_is_met_to_within_a_step_of_every_part() -> None:
    recipe = recipe_of({"cocoa_mass": 70.4, "sugar_granulated": 29.6})
    target = share_limit(recipe, "cocoa_mass", low=0.704, high=0.704)
    off = share_limit(recipe, "cocoa_mass", low=0.8, high=0.8)
    rounded = round_to_scale({each.label: each.mass_g for each in recipe.parts}, Decimal(1))

    assert broken_limits([target, off], rounded) == (off,)


def test_a_strict_limit_is_not_kept_at_its_bound() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    strict = replace(share_limit(recipe, "cocoa_mass", low=0.7), strict=True)
    rounded = round_to_scale({"cocoa_mass": 70.0, "sugar_granulated": 30.0}, Decimal(1))

    assert broken_limits([strict], rounded) == (strict,)


@given(masses, st.floats(0.0, 1.0), steps)
def test_the_whole_margin_is_more_than_rounding_can_move(amounts, share, step) -> None:  # type: ignore[no-untyped-def]
    """A limit that exact amounts keep with the whole margin is kept by any rounding within a step."""
    total_g = sum(amounts.values())
    if total_g < float(step) * len(amounts) * 4:
        return
    whole = dict.fromkeys(amounts, 1.0)
    limit = Limit("first", "yours", {"p0": 1.0}, whole, low=share)
    rounded = round_to_scale(amounts, step)
    drawn_in = with_margin(
        limit, rounded, 2.0
    )  # the margin is of rounded amounts; twice covers the step between

    if drawn_in.gap(amounts) == 0.0:
        assert broken_limits([limit], rounded) == ()


def test_a_margin_never_turns_a_limit_inside_out() -> None:
    limit = Limit("first", "yours", {"a": 1.0}, None, low=30.0, high=31.0)
    drawn_in = with_margin(limit, round_to_scale({"a": 30.5}, Decimal(5)), 1.0)

    assert drawn_in.low == drawn_in.high == 30.5


def test_a_gram_and_a_half_on_a_gram_scale_is_a_third_out() -> None:
    """0.3 % lecithin of 500 g is 1.5 g, and half a gram of that is 33 %."""
    recipe = recipe_of(
        {"cocoa_nibs_roasted": 350.0, "sugar_granulated": 118.5, "cocoa_butter": 30.0, "lecithin_soy": 1.5}
    )
    (dose,) = small_doses(recipe, Decimal(1))

    assert dose.label == "lecithin_soy"
    assert dose.error_percent == pytest.approx(100 / 3)
    assert dose.finer_g == Decimal("0.1")


def test_a_dose_of_five_steps_is_just_weighed() -> None:
    recipe = recipe_of({"cocoa_butter": 95.0, "lecithin_soy": 5.0})

    assert small_doses(recipe, Decimal(1)) == ()
    assert len(small_doses(recipe_of({"cocoa_butter": 95.0, "lecithin_soy": 4.9}), Decimal(1))) == 1


@given(st.floats(0.01, 4.9), st.sampled_from([Decimal(1), Decimal("0.5"), Decimal("0.1")]))
def test_the_finer_scale_and_the_premix_bring_the_dose_within_bounds(dose_g: float, step: Decimal) -> None:
    recipe = recipe_of({"cocoa_butter": 400.0, "sugar_granulated": 400.0, "lecithin_soy": dose_g})
    for dose in small_doses(recipe, step):
        assert small_doses(recipe, dose.finer_g) == ()
        premix = dose.premix
        if premix is not None:
            share = premix.dose_g / (premix.dose_g + premix.carrier_g)
            assert float(premix.take_g * share) == pytest.approx(dose_g, rel=0.06)  # to half a step of ten
            assert premix.error_percent <= 10.0 + 1e-9
            assert premix.carrier == "cocoa_butter"
            assert premix.carried_g <= 400.0


def test_lecithin_is_carried_by_butter_and_salt_by_sugar() -> None:
    recipe = recipe_of({"cocoa_butter": 200.0, "sugar_granulated": 300.0, "lecithin_soy": 2.0, "salt": 1.0})
    carriers = {dose.label: dose.premix.carrier for dose in small_doses(recipe, Decimal(1)) if dose.premix}

    assert carriers == {"lecithin_soy": "cocoa_butter", "salt": "sugar_granulated"}


def test_without_a_carrier_there_is_no_premix() -> None:
    recipe = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0, "lecithin_soy": 2.0})

    assert [dose.premix for dose in small_doses(recipe, Decimal(1))] == [None]
