"""The largest batch of a shelf, and one stock between recipes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import (
    Claim,
    MachineLoss,
    Split,
    batch_for_bars,
    largest_batch,
    share_of_stock,
    share_out,
)
from nibsmith.science.mixture import Form, Recipe, part

amounts = st.floats(1.0, 1e5)


@given(recipes(), st.data())
def test_the_largest_batch_takes_no_more_than_there_is_and_all_of_something(recipe, data) -> None:  # type: ignore[no-untyped-def]
    labels = [each.label for each in recipe.parts]
    shelf = {
        label: data.draw(amounts)
        for label in data.draw(st.lists(st.sampled_from(labels), min_size=1, unique=True))
    }
    batch = largest_batch(recipe, shelf)

    for label, there_g in shelf.items():
        taken_g = batch.recipe.part(label).mass_g
        assert taken_g <= there_g * (1 + 1e-12)
        assert batch.left_g[label] == pytest.approx(there_g - taken_g, abs=there_g * 1e-9)
    assert batch.runs_out
    assert all(batch.left_g[label] <= shelf[label] * 2e-9 for label in batch.runs_out)
    assert set(batch.to_bring_g) == set(labels) - set(shelf)
    for label in labels:
        assert batch.recipe.share(label) == pytest.approx(recipe.share(label), rel=1e-9)


def test_what_runs_out_first_by_hand() -> None:
    """70 : 30, 1,400 g mass lasts for 2,000 g, 900 g sugar for 3,000 g."""
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    batch = largest_batch(recipe, {"cocoa_mass": 1400.0, "sugar_granulated": 900.0, "almond": 50.0})

    assert batch.total_g == pytest.approx(2000.0)
    assert batch.runs_out == ("cocoa_mass",)
    assert batch.left_g["sugar_granulated"] == pytest.approx(300.0)
    assert (batch.left_g["almond"], batch.unused) == (50.0, ("almond",))


def test_stocks_that_last_equally_long_run_out_together() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})

    assert largest_batch(recipe, {"cocoa_mass": 700.0, "sugar_granulated": 300.0}).runs_out == (
        "cocoa_mass",
        "sugar_granulated",
    )


def test_an_ingredient_is_taken_wherever_it_stands() -> None:
    """A tenth is a premix of one part lecithin in nine of butter, and 18 % is butter besides: 27 %."""
    premix = Recipe("premix", Form.BAR, (part("lecithin_soy", 1.0), part("cocoa_butter", 9.0)))
    parts = (part("cocoa_mass", 72.0), part("cocoa_butter", 18.0, label="butter"), part(premix, 10.0))
    recipe = Recipe("bar", Form.BAR, parts)

    assert share_of_stock(recipe, "cocoa_butter") == pytest.approx(0.27)
    assert share_of_stock(recipe, "butter") == pytest.approx(0.18)
    batch = largest_batch(recipe, {"cocoa_butter": 270.0, "lecithin_soy": 100.0})
    assert batch.total_g == pytest.approx(1000.0)
    assert batch.left_g["lecithin_soy"] == pytest.approx(90.0)
    assert set(batch.to_bring_g) == {"cocoa_mass"}


def test_a_shelf_that_cannot_do_is_refused_with_the_reason() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    with pytest.raises(InputError, match="There is none of cocoa_mass"):
        largest_batch(recipe, {"cocoa_mass": 0.0})
    with pytest.raises(InputError, match="Nothing on the shelf is in"):
        largest_batch(recipe, {"almond": 10.0})
    with pytest.raises(InputError, match="Nothing on the shelf is in"):
        largest_batch(recipe, {})
    with pytest.raises(InputError, match="Granulated sugar is not on the shelf"):
        largest_batch(recipe, {"cocoa_mass": 10.0}, only_shelf=True)
    with pytest.raises(InputError, match="not a weight"):
        largest_batch(recipe, {"cocoa_mass": float("nan")})


claims = st.lists(st.floats(0.05, 1.0), min_size=1, max_size=5)


def claim(share: float, wanted: float = 1.0, loss: MachineLoss | None = None) -> Claim:
    recipe = recipe_of({"cocoa_mass": share, "sugar_granulated": 1.0 - share + 1e-6})
    return Claim(recipe, wanted, 50.0, loss or MachineLoss())


@given(claims, amounts)
def test_equal_shares_of_a_stock_are_equal_and_use_it_up(shares: list[float], stock_g: float) -> None:
    shared = share_out("cocoa_mass", stock_g, [claim(share) for share in shares])

    for portion in shared.portions:
        assert portion.takes_g == pytest.approx(stock_g / len(shares))
        assert portion.recipe is not None
        assert portion.recipe.part("cocoa_mass").mass_g == pytest.approx(portion.takes_g, rel=1e-9)
    assert (shared.left_g, shared.short_g) == (0.0, pytest.approx(0.0, abs=stock_g * 1e-9))


@given(claims, amounts, st.data())
def test_by_weight_all_shrink_by_one_factor_and_nothing_is_lost(shares, stock_g, data) -> None:  # type: ignore[no-untyped-def]
    wanted = [data.draw(amounts) for _ in shares]
    asked = [claim(share, total_g) for share, total_g in zip(shares, wanted, strict=True)]
    shared = share_out("cocoa_mass", stock_g, asked, Split.WEIGHT)
    factors = [
        portion.recipe.total_g / total_g for portion, total_g in zip(shared.portions, wanted, strict=True)
    ]

    assert factors == pytest.approx([factors[0]] * len(factors))
    assert factors[0] <= 1 + 1e-12
    taken_g = sum(portion.takes_g for portion in shared.portions)
    assert taken_g + shared.left_g == pytest.approx(stock_g, rel=1e-9)
    assert shared.needed_g == pytest.approx(taken_g + shared.short_g, rel=1e-9)


def test_by_weight_the_whole_stock_can_be_used_up() -> None:
    """Two to one: 600 g of mass at 60 and 30 % make 800 and 400 g."""
    asked = [claim(0.6, 2.0), claim(0.3, 1.0)]
    shared = share_out("cocoa_mass", 600.0, asked, Split.WEIGHT, use_up=True)

    assert [round(portion.recipe.total_g) for portion in shared.portions if portion.recipe] == [800, 400]
    assert shared.left_g == pytest.approx(0.0, abs=1e-9)


bar_claims = st.lists(
    st.tuples(st.floats(0.1, 0.9), st.integers(1, 60), st.floats(0.0, 200.0)), min_size=1, max_size=4
)


@given(bar_claims, st.floats(50.0, 5000.0))
def test_bars_are_whole_and_none_more_would_fit(asked, stock_g) -> None:  # type: ignore[no-untyped-def]
    wanted = [claim(share, count, MachineLoss(fixed_g)) for share, count, fixed_g in asked]
    shared = share_out("cocoa_mass", stock_g, wanted, Split.BARS)
    taken_g = sum(portion.takes_g for portion in shared.portions)

    assert taken_g <= stock_g * (1 + 1e-8)
    for index, portion in enumerate(shared.portions):
        count = portion.bars or 0
        assert 0 <= count <= asked[index][1]
        assert (portion.recipe is None) == (count == 0)
        if count < asked[index][1]:
            more = batch_for_bars(portion.claim.recipe, count + 1, 50.0, portion.claim.loss).weigh
            extra_g = more.part("cocoa_mass").mass_g - portion.takes_g
            assert extra_g > shared.left_g * (1 - 1e-8) - 1e-6


def test_with_enough_for_all_everyone_gets_the_bars_wanted() -> None:
    shared = share_out("cocoa_mass", 1e6, [claim(0.5, 12), claim(0.7, 30)], Split.BARS)

    assert [portion.bars for portion in shared.portions] == [12, 30]
    assert shared.short_g == 0.0


def test_sharing_refuses_what_it_cannot_do() -> None:
    with pytest.raises(InputError, match="no recipe"):
        share_out("cocoa_mass", 100.0, [])
    with pytest.raises(InputError, match="does not use almond"):
        share_out("almond", 100.0, [claim(0.5)])
    with pytest.raises(InputError, match="not an amount"):
        share_out("cocoa_mass", 0.0, [claim(0.5)])
    with pytest.raises(InputError, match="not an amount"):
        share_out("cocoa_mass", 100.0, [claim(0.5, float("nan"))], Split.WEIGHT)
    with pytest.raises(InputError, match="Less than one bar"):
        share_out("cocoa_mass", 100.0, [claim(0.5, 0.5)], Split.BARS)
