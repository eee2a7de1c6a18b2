"""The size of a batch: what is wanted, what the shelf allows, what bars take."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.context import Context
from nibsmith.answers.sizing import Order, sized, weighed_for
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import MachineLoss, batch_of
from nibsmith.science.kit import Mould, kit, kits
from nibsmith.science.mixture import Form, Kind, Recipe, own_ingredient, part

KEYS = ("cocoa_nibs_roasted", "cocoa_butter", "sugar_granulated", "milk_powder_whole", "almond")
grams = st.floats(1.0, 5000.0)
recipes = st.dictionaries(st.sampled_from(KEYS), grams, min_size=2).map(
    lambda rows: Recipe("bar", Form.BAR, tuple(part(key, mass) for key, mass in rows.items()))
)
REL = 1e-9  # sums and quotients of a handful of floats


@given(recipes, st.data())
def test_the_largest_batch_uses_up_a_stock_and_overdraws_none(recipe: Recipe, data: st.DataObject) -> None:
    labels = data.draw(
        st.lists(st.sampled_from([row.label for row in recipe.parts]), min_size=1, unique=True)
    )
    shelf_g = {label: data.draw(grams) for label in labels}
    size = sized(recipe, Order(shelf_g=shelf_g), Context())
    for label, have_g in shelf_g.items():
        assert size.weigh.part(label).mass_g <= have_g * (1 + REL)
        assert size.left_g[label] == pytest.approx(
            have_g - size.weigh.part(label).mass_g, rel=REL, abs=have_g * REL
        )
    assert size.runs_out
    for label in size.runs_out:
        assert size.weigh.part(label).mass_g == pytest.approx(shelf_g[label], rel=REL)
    for row in recipe.parts:
        assert size.weigh.share(row.label) == pytest.approx(recipe.share(row.label), rel=REL)


@given(recipes, st.floats(10.0, 50_000.0))
def test_a_total_is_the_total_and_keeps_the_shares(recipe: Recipe, total_g: float) -> None:
    size = sized(recipe, Order(total_g=total_g), Context())
    assert size.weigh.total_g == pytest.approx(total_g, rel=REL)
    assert size.recipe == size.weigh
    for row in recipe.parts:
        assert size.weigh.share(row.label) == pytest.approx(recipe.share(row.label), rel=REL)


@given(recipes, st.integers(1, 400), st.floats(5.0, 200.0), st.sampled_from(sorted(kits())))
def test_the_bars_wanted_come_out_of_what_is_weighed(
    recipe: Recipe, bars: int, cavity_g: float, key: str
) -> None:
    machine = kit(key)
    context = Context(kit=machine, mould=Mould("bar", cavity_g))
    weigh = weighed_for(recipe, bars, context)
    loss = MachineLoss(machine.residue_g.value, machine.loss_percent, context.end_water_percent)
    assert batch_of(weigh, cavity_g, loss).product_g == pytest.approx(bars * cavity_g, rel=1e-6)


@given(recipes, st.integers(2, 60), st.data())
def test_fewer_bars_are_as_many_as_the_shelf_allows(recipe: Recipe, bars: int, data: st.DataObject) -> None:
    context = Context(kit=kit("stone"), mould=Mould("bar", 50.0))
    label = data.draw(st.sampled_from([row.label for row in recipe.parts]))
    enough_g = weighed_for(recipe, bars, context).part(label).mass_g
    have_g = enough_g * data.draw(st.floats(0.3, 1.5))
    one_g = weighed_for(recipe, 1, context).part(label).mass_g
    if have_g < one_g:
        with pytest.raises(InputError, match="not enough for one bar"):
            sized(recipe, Order(bars=bars, shelf_g={label: have_g}), context)
        return
    size = sized(recipe, Order(bars=bars, shelf_g={label: have_g}), context)
    assert size.bars is not None
    assert size.weigh.part(label).mass_g <= have_g * (1 + REL)
    if size.bars < bars:
        assert weighed_for(recipe, size.bars + 1, context).part(label).mass_g > have_g
        assert size.remarks
    else:
        assert size.bars == bars


def test_the_recipe_keeps_the_shares_of_the_bar_and_the_weights_allow_for_the_machine() -> None:
    recipe = Recipe(
        "bar", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 20.0), part("almond", 20.0))
    )
    context = Context(kit=kit("ball_mill"), mould=Mould("bar", 50.0))
    size = sized(recipe, Order(bars=20), context)
    assert size.recipe.share("almond") == pytest.approx(0.2)
    assert size.weigh.part("almond").mass_g == pytest.approx(20 * 50 * 0.2)
    assert size.weigh.share("almond") < 0.2
    assert size.recipe.total_g == pytest.approx(size.weigh.total_g)


def test_bars_are_weighed_where_the_water_of_a_part_is_not_known() -> None:
    dry = own_ingredient("House mass", Kind.MASS, {"fat_g": 54.0})
    recipe = Recipe("bar", Form.BAR, (part(dry, 70.0), part("sugar_granulated", 30.0)))
    weigh = weighed_for(recipe, 10, Context(kit=kit("stone"), mould=Mould("bar", 50.0)))
    assert weigh.total_g == pytest.approx(10 * 50 + kit("stone").residue_g.value)


@pytest.mark.parametrize(
    ("order", "said"),
    [
        (Order(total_g=100.0, bars=2), "both wanted"),
        (Order(bars=2), "no mould"),
        (Order(bars=0), "Less than one bar"),
        (Order(shelf_g={"salt": 100.0}), "Nothing on the shelf"),
        (Order(total_g=0.0), "not an amount"),
    ],
)
def test_a_size_that_cannot_be_is_refused(order: Order, said: str) -> None:
    recipe = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    with pytest.raises(InputError, match=said):
        sized(recipe, order, Context())


DARK = Recipe(
    "dark",
    Form.BAR,
    (part("cocoa_nibs_roasted", 61.5), part("cocoa_butter", 6.5), part("sugar_granulated", 32.0)),
)
TWICE = Recipe(
    "twice",
    Form.BAR,
    (
        part("cocoa_mass", 60.0),
        part("sugar_granulated", 25.0, label="first"),
        part("sugar_granulated", 15.0, label="last"),
    ),
)


def plain(words: tuple[str, ...]) -> str:
    return " ".join(words).replace("\u00a0", " ").replace("\u202f", " ")


def test_what_is_in_the_bowl_is_not_on_the_shelf() -> None:
    """2 kg want 1230 g of nibs: 1 kg is in the bowl, so 230 g of the 300 g on the shelf."""
    order = Order(
        total_g=2000.0,
        shelf_g={"cocoa_nibs_roasted": 300.0, "cocoa_butter": 200.0},
        bowl_g={"cocoa_nibs_roasted": 1000.0, "sugar_granulated": 540.0},
    )
    size = sized(DARK, order, Context())

    assert size.weigh.total_g == pytest.approx(2000.0)
    assert size.left_g == pytest.approx({"cocoa_nibs_roasted": 70.0, "cocoa_butter": 70.0})
    assert size.remarks == ()


def test_no_batch_asks_for_less_than_is_in_the_bowl() -> None:
    """540 g of sugar ask for 1687.5 g; butter alone would allow 1538 g, and is 9.7 g short."""
    order = Order(
        total_g=2000.0,
        shelf_g={"cocoa_nibs_roasted": 300.0, "cocoa_butter": 100.0},
        bowl_g={"cocoa_nibs_roasted": 1000.0, "sugar_granulated": 540.0},
    )
    size = sized(DARK, order, Context())

    assert size.weigh.total_g == pytest.approx(1687.5)
    assert size.left_g == pytest.approx({"cocoa_nibs_roasted": 262.1875, "cocoa_butter": 0.0})
    assert size.runs_out == ("cocoa_butter",)
    assert plain(size.remarks) == (
        "What is in the bowl asks for 1 688 g, and the shelf is 10 g of cocoa butter short of that."
    )


@given(recipes, st.data())
def test_shelf_and_bowl_together_make_what_is_weighed(recipe: Recipe, data: st.DataObject) -> None:
    labels = [row.label for row in recipe.parts]
    shelf_g = {label: data.draw(grams) for label in labels}
    bowl_g = {label: data.draw(grams) for label in data.draw(st.lists(st.sampled_from(labels), unique=True))}
    size = sized(recipe, Order(shelf_g=shelf_g, bowl_g=bowl_g), Context())

    for label, have_g in shelf_g.items():
        weigh_g, held_g = size.weigh.part(label).mass_g, bowl_g.get(label, 0.0)
        assert 0 <= size.left_g[label] <= have_g
        assert weigh_g >= held_g * (1 - REL)
        assert size.left_g[label] == pytest.approx(max(0.0, have_g - (weigh_g - held_g)), rel=1e-6, abs=1e-6)


def test_bars_take_what_is_in_the_bowl_before_the_shelf() -> None:
    context = Context(mould=Mould("50 g", 50.0))
    order = Order(bars=20, shelf_g={"cocoa_nibs_roasted": 200.0}, bowl_g={"cocoa_nibs_roasted": 500.0})
    size = sized(DARK, order, context)

    assert size.bars == 20
    assert size.left_g == pytest.approx({"cocoa_nibs_roasted": 85.0})


def test_two_additions_of_one_ingredient_have_one_stock() -> None:
    size = sized(TWICE, Order(shelf_g={"sugar_granulated": 800.0}), Context())

    assert size.weigh.total_g == pytest.approx(2000.0)
    assert size.runs_out == ("sugar_granulated",)
    assert plain(sized(TWICE, Order(3000.0, shelf_g={"sugar_granulated": 800.0}), Context()).remarks) == (
        "The shelf does not reach 3 000 g, only 2 000 g, for want of granulated sugar."
    )


def test_an_addition_with_a_stock_of_its_own_takes_nothing_from_the_other() -> None:
    size = sized(TWICE, Order(shelf_g={"sugar_granulated": 500.0, "last": 900.0}), Context())

    assert size.weigh.total_g == pytest.approx(2000.0)
    assert size.left_g == pytest.approx({"sugar_granulated": 0.0, "last": 600.0})


def test_a_batch_under_a_step_of_the_scale_is_refused() -> None:
    with pytest.raises(InputError, match="does not show on the scale"):
        sized(DARK, Order(total_g=1e-7), Context())
    assert sized(DARK, Order(total_g=0.5), Context(scale_g=Decimal("0.1"))).weigh.total_g == pytest.approx(
        0.5
    )
