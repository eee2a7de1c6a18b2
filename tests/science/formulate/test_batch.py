"""From a recipe to the scale and from the scale to bars: round trips, and where the grams go."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.formulate import (
    MachineLoss,
    batch_for_bars,
    batch_for_total,
    batch_of,
    fold_in_for,
    scale_to_on_hand,
    scale_to_total,
)
from nibsmith.science.mixture import Form, Kind, Recipe, finished, own_ingredient, part, product

EXACT = 1e-12  # a few roundings of double arithmetic
losses = st.builds(
    MachineLoss,
    st.floats(0.0, 300.0),
    st.floats(0.0, 20.0),
    st.none() | st.floats(0.3, 2.0),
)
bars = st.integers(1, 400)
cavities = st.floats(5.0, 120.0)


@given(recipes(), losses, bars, cavities)
def test_making_the_grams_of_so_many_bars_yields_so_many_bars(recipe, loss, count, cavity_g) -> None:  # type: ignore[no-untyped-def]
    made = batch_for_bars(recipe, count, cavity_g, loss)

    assert made.bars == pytest.approx(count, rel=EXACT * 100)
    assert made.whole_bars == count
    assert batch_of(made.weigh, cavity_g, loss).bars == pytest.approx(count, rel=EXACT * 100)
    assert batch_for_total(recipe, made.weigh.total_g, cavity_g, loss).bars == pytest.approx(count, rel=1e-9)


@given(recipes(), losses, bars, cavities)
def test_every_gram_weighed_is_poured_added_lost_or_water(recipe, loss, count, cavity_g) -> None:  # type: ignore[no-untyped-def]
    made = batch_for_bars(recipe, count, cavity_g, loss)

    assert made.poured_g + made.lost_g + made.evaporated_g == pytest.approx(made.charge_g, rel=EXACT)
    assert made.charge_g + made.added_g == pytest.approx(made.weigh.total_g, rel=EXACT)
    finished_g = made.charge_g - made.evaporated_g
    assert made.lost_g == pytest.approx(loss.fixed_g + finished_g * loss.percent / 100, rel=1e-9, abs=1e-9)


@given(recipes(), losses, bars, cavities)
def test_what_is_folded_in_follows_the_bars_and_not_the_loss(recipe, loss, count, cavity_g) -> None:  # type: ignore[no-untyped-def]
    """Its share of what is in the moulds is that of the bar, worked out by the mixture."""
    made = batch_for_bars(recipe, count, cavity_g, loss)
    whole = product(recipe, loss.end_water_percent)
    folded = sum(each.mass_g for each in recipe.parts if not each.in_machine)

    assert made.added_g / made.product_g == pytest.approx(folded / whole.mass_g, rel=1e-9, abs=EXACT)


@given(recipes(ground=True), st.floats(0.3, 2.0))
def test_the_water_that_leaves_is_that_of_the_finished_mass(recipe, end) -> None:  # type: ignore[no-untyped-def]
    made = batch_of(recipe, loss=MachineLoss(end_water_percent=end))

    assert made.poured_g == pytest.approx(finished(recipe, end).mass_g, rel=EXACT)


def test_a_batch_of_bars_in_whole_numbers_by_hand() -> None:
    """700 + 300 g, 150 g stays, 50 g bars: 850 g, 17 bars. With a tenth lost besides: 750 g, 15 bars."""
    recipe = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0})

    assert batch_of(recipe, 50.0, MachineLoss(150.0)).whole_bars == 17
    ten = batch_of(recipe, 50.0, MachineLoss(150.0, percent=10.0))
    assert (ten.whole_bars, ten.left_g) == (15, pytest.approx(0.0, abs=1e-9))


def test_a_batch_smaller_than_what_stays_yields_nothing() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    made = batch_of(recipe, 50.0, MachineLoss(150.0))

    assert (made.poured_g, made.whole_bars, made.lost_g) == (0.0, 0, 100.0)
    with pytest.raises(InputError, match="all stays on the machine"):
        batch_for_total(recipe, 100.0, 50.0, MachineLoss(150.0))


def test_only_folded_in_things_lose_nothing_on_a_machine() -> None:
    recipe = recipe_of({"almond": 100.0})

    assert batch_of(recipe, 50.0, MachineLoss(150.0, 5.0)).bars == pytest.approx(2.0)
    assert batch_for_bars(recipe, 2, 50.0, MachineLoss(150.0, 5.0, 1.0)).weigh.total_g == pytest.approx(100.0)


@given(recipes(), st.floats(1.0, 1e6))
def test_scaling_to_a_total_keeps_the_shares(recipe, total_g) -> None:  # type: ignore[no-untyped-def]
    scaled = scale_to_total(recipe, total_g)

    assert scaled.total_g == pytest.approx(total_g, rel=EXACT)
    for each in recipe.parts:
        assert scaled.share(each.label) == pytest.approx(recipe.share(each.label), rel=EXACT)


@given(recipes(), st.data(), st.floats(1.0, 1e5))
def test_scaling_to_what_is_on_hand_uses_exactly_that(recipe, data, on_hand_g) -> None:  # type: ignore[no-untyped-def]
    label = data.draw(st.sampled_from([each.label for each in recipe.parts]))
    scaled = scale_to_on_hand(recipe, label, on_hand_g)

    assert scaled.part(label).mass_g == on_hand_g
    for each in recipe.parts:
        assert scaled.share(each.label) == pytest.approx(recipe.share(each.label), rel=1e-9)


@given(recipes(), st.floats(10.0, 1e4), st.none() | st.floats(0.3, 2.0))
def test_the_fold_in_for_a_mass_gives_the_bar_of_the_recipe(recipe, mass_g, end) -> None:  # type: ignore[no-untyped-def]
    assume(any(not each.in_machine for each in recipe.parts))
    folded = fold_in_for(recipe, mass_g, end)
    whole = product(recipe, end)

    for each in recipe.parts:
        if not each.in_machine:
            share = folded[each.label] / (mass_g + sum(folded.values()))
            assert share == pytest.approx(each.mass_g / whole.mass_g, rel=1e-9)


def test_water_that_is_not_known_is_said_and_not_guessed() -> None:
    dull = own_ingredient("Mystery mass", Kind.MASS, {"fat_g": 54.0})
    recipe = Recipe("bar", Form.BAR, (part(dull, 700.0), part("sugar_granulated", 300.0)))

    assert batch_of(recipe, loss=MachineLoss(150.0)).poured_g == pytest.approx(850.0)
    with pytest.raises(UnknownFigure, match="Mystery mass"):
        batch_of(recipe, loss=MachineLoss(end_water_percent=1.0))


@pytest.mark.parametrize("amount", [0.0, -5.0, float("nan"), float("inf")])
def test_amounts_that_are_none_are_refused(amount: float) -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    for work in (
        lambda: scale_to_total(recipe, amount),
        lambda: scale_to_on_hand(recipe, "cocoa_mass", amount),
        lambda: batch_for_bars(recipe, amount, 50.0),
        lambda: batch_for_bars(recipe, 10, amount),
        lambda: batch_for_total(recipe, amount),
        lambda: fold_in_for(recipe, amount),
    ):
        with pytest.raises(InputError):
            work()


def test_a_part_without_a_share_cannot_lead() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 0.0})
    with pytest.raises(InputError, match="has no share"):
        scale_to_on_hand(recipe, "sugar_granulated", 100.0)
    with pytest.raises(InputError, match="No part has this label"):
        scale_to_on_hand(recipe, "honey", 100.0)


@pytest.mark.parametrize(
    ("fixed_g", "percent"), [(-1.0, 0.0), (float("nan"), 0.0), (0.0, 100.0), (0.0, -1.0)]
)
def test_a_loss_that_cannot_be_is_refused(fixed_g: float, percent: float) -> None:
    with pytest.raises(InputError):
        MachineLoss(fixed_g, percent)
