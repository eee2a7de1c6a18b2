"""One stock between recipes, in words."""

from __future__ import annotations

import pytest

from balance_problems import recipe_of
from nibsmith.answers.context import Context
from nibsmith.answers.share_out import share_out
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Split
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import Form, Recipe, part

DARK = recipe_of({"cocoa_mass": 750.0, "sugar_granulated": 250.0})
MILD = Recipe("Mild", Form.BAR, (part("cocoa_mass", 500.0), part("sugar_granulated", 500.0)))
BARS = Context(kit=kit("stone"), mould=Mould("50 g", 50.0))


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def test_equal_halves_of_a_stock() -> None:
    shared = share_out("cocoa_mass", 600.0, [DARK, MILD], Context())

    assert [each.recipe.total_g for each in shared.portions if each.recipe] == pytest.approx([400.0, 600.0])
    assert plain(shared.sentence) == "600 g of cocoa mass for drawn and Mild: all of it is used."
    assert plain(shared.portions[1].sentence) == "Mild: 300 g of it, a batch of 600 g."


def test_by_weight_without_numbers_each_recipe_wants_its_own_weight() -> None:
    shared = share_out("cocoa_mass", 1000.0, [DARK, MILD], Context(), split=Split.WEIGHT)

    assert shared.short_g == pytest.approx(250.0)
    assert "250 g short" in plain(shared.sentence)
    assert [round(each.takes_g) for each in shared.portions] == [600, 400]


def test_what_is_left_is_said() -> None:
    shared = share_out("cocoa_mass", 1500.0, [DARK, MILD], Context(), split=Split.WEIGHT)

    assert plain(shared.sentence).endswith("enough, and 250 g is left.")


def test_bars_are_counted_with_what_the_machine_keeps() -> None:
    shared = share_out("cocoa_mass", 400.0, [DARK, MILD], BARS, split=Split.BARS, wanted=[10, 10])

    assert [each.bars for each in shared.portions] != [10, 10]
    assert all("of the 10 bars wanted" in plain(each.sentence) or each.bars == 0 for each in shared.portions)
    enough = share_out("cocoa_mass", 4000.0, [DARK, MILD], BARS, split=Split.BARS, wanted=[10, 10])
    assert [each.bars for each in enough.portions] == [10, 10]
    without = share_out(
        "cocoa_mass", 4000.0, [DARK, MILD], Context(mould=BARS.mould), split=Split.BARS, wanted=[10, 10]
    )
    assert without.portions[0].takes_g < enough.portions[0].takes_g


def test_a_recipe_that_gets_no_bar_says_so() -> None:
    shared = share_out("cocoa_mass", 10.0, [DARK, MILD], BARS, split=Split.BARS, wanted=[10, 10])

    assert [each.recipe for each in shared.portions] == [None, None]
    assert shared.portions[0].sentence == "drawn: not enough for one bar."


def test_sharing_by_bars_takes_a_mould_and_numbers() -> None:
    with pytest.raises(InputError, match="mould"):
        share_out("cocoa_mass", 400.0, [DARK], Context(), split=Split.BARS, wanted=[10])
    with pytest.raises(InputError, match="number of bars"):
        share_out("cocoa_mass", 400.0, [DARK], BARS, split=Split.BARS)
    with pytest.raises(InputError, match="its own number"):
        share_out("cocoa_mass", 400.0, [DARK, MILD], BARS, split=Split.BARS, wanted=[10])


def test_a_stock_inside_a_nested_recipe_is_named() -> None:
    own = Recipe("Own mass", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 40.0)))
    bar = Recipe("Bar", Form.BAR, (part(own, 80.0), part("almond", 20.0)))

    assert "of Own mass for Bar" in plain(share_out("Own mass", 100.0, [bar], Context()).sentence)
    assert "of cocoa mass for Bar" in plain(share_out("cocoa_mass", 100.0, [bar], Context()).sentence)


def test_a_charge_and_a_dose_that_cannot_be_weighed_are_said() -> None:
    """1.3 g of lecithin on a scale of 1 g; 400 g where the stone grinder takes 500 g."""
    milk = recipe_of({"cocoa_mass": 300.0, "sugar_granulated": 98.7, "lecithin_soy": 1.3})
    shared = share_out("cocoa_mass", 300.0, [milk], Context(kit=kit("stone")))

    assert [plain(words) for words in shared.portions[0].remarks] == [
        "400 g of it is ground, and the stone grinder needs 500 g at least.",
        "The scale is too coarse for the soya lecithin.",
    ]
    assert share_out("cocoa_mass", 3000.0, [milk], Context()).portions[0].remarks == ()


def test_each_recipe_is_weighed_for_its_own_kit() -> None:
    shared = share_out("cocoa_mass", 300.0, [DARK, MILD], Context(), kits=[None, kit("stone")])

    assert [len(each.remarks) for each in shared.portions] == [0, 1]
