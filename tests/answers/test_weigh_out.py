"""How much of each to weigh."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given

from balance_problems import recipe_of, recipes
from nibsmith.answers.answer import Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.weigh_out import weigh_out, weigh_table
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import Form, Kind, Recipe, own_ingredient, part

STONE = Context(kit=kit("stone"), mould=Mould("50 g", 50.0))
BAR = recipe_of({"sugar_granulated": 300.0, "cocoa_mass": 700.0})


def charge(recipe: Recipe) -> float:
    return sum(each.mass_g for each in recipe.parts if each.in_machine)


@given(recipes())
def test_the_table_holds_every_part_once_and_adds_to_its_total(recipe: Recipe) -> None:
    table = weigh_table(recipe, Decimal(1))

    assert sorted(row.label for row in table.rows) == sorted(each.label for each in recipe.parts)
    assert sum(row.weigh_g for row in table.rows) == table.total_g
    assert abs(float(table.total_g) - recipe.total_g) <= 0.5 + 1e-9


def test_cocoa_is_weighed_before_sugar_and_folded_in_things_last() -> None:
    recipe = recipe_of({"almond": 50.0, "sugar_granulated": 300.0, "lecithin_soy": 5.0, "cocoa_mass": 645.0})

    labels = [row.label for row in weigh_table(recipe, Decimal(1)).rows]
    assert labels == ["cocoa_mass", "sugar_granulated", "lecithin_soy", "almond"]


def test_bars_and_what_is_left_over_are_said() -> None:
    """1,000 g less 150 g on the stones, the water as charged under 1 %: 17 bars of 50 g."""
    answer = weigh_out(BAR, STONE)

    assert answer.verdict is Verdict.GOOD
    assert answer.figure == 1000.0
    assert "for 17 bars of 50" in answer.sentence
    assert any("150" in reason and "stone grinder" in reason for reason in answer.reasons)


@pytest.mark.parametrize("machine", [None, "mortar"])
def test_a_loss_of_the_makers_own_goes_before_that_of_the_kit(machine: str | None) -> None:
    """By hand: 4 % of 250 g and 15 g on the stones leave 225 g, four bars of 50 g and 25 g over."""
    here = Context(
        kit=None if machine is None else kit(machine),
        mould=Mould("50 g", 50.0),
        kept_back_g=15.0,
        lost_percent=4.0,
    )
    answer = weigh_out(BAR.scaled(250.0), here)
    assert "for 4 bars of 50" in answer.sentence
    said = " ".join(answer.reasons).replace("\u00a0", " ")
    kept = "is lost" if machine is None else "stays in the mortar and pestle or is lost besides"
    assert f"About 25 g {kept}: 225 g comes out." in said


def test_a_charge_over_the_most_is_watched_and_the_remedy_is_the_least_that_fits() -> None:
    recipe = BAR.scaled(4000.0)
    answer = weigh_out(recipe, STONE)
    (remedy,) = answer.remedies

    assert answer.verdict is Verdict.WATCH
    assert "holds" in answer.sentence
    assert remedy.checked
    after = apply_remedy(recipe, remedy)
    assert charge(after) == pytest.approx(3000.0)
    assert weigh_out(after, STONE).verdict is Verdict.GOOD
    assert weigh_out(apply_remedy(recipe, remedy, 0.5), STONE).verdict is Verdict.WATCH


def test_a_charge_under_the_least_is_watched_and_the_remedy_is_the_least_that_fits() -> None:
    recipe = BAR.scaled(200.0)
    answer = weigh_out(recipe, STONE)
    (remedy,) = answer.remedies

    assert "needs" in answer.sentence
    assert weigh_out(apply_remedy(recipe, remedy), STONE).verdict is Verdict.GOOD
    assert weigh_out(apply_remedy(recipe, remedy, 0.5), STONE).verdict is Verdict.WATCH


def test_what_is_folded_in_does_not_fill_the_machine() -> None:
    recipe = recipe_of({"cocoa_mass": 2900.0, "almond": 900.0})

    assert weigh_out(recipe, STONE).verdict is Verdict.GOOD


def test_a_dose_too_small_for_the_scale_is_said_with_both_ways_out() -> None:
    recipe = recipe_of(
        {"cocoa_mass": 318.5, "cocoa_butter": 30.0, "sugar_granulated": 150.0, "lecithin_soy": 1.5}
    )
    answer = weigh_out(recipe, Context())

    assert answer.verdict is Verdict.WATCH
    assert "soya lecithin" in answer.sentence
    assert any("33 %" in reason for reason in answer.reasons)
    finer, premix = answer.remedies
    assert "0.1" in finer.sentence
    assert "cocoa butter" in premix.sentence
    assert finer.checked
    assert premix.checked
    assert weigh_out(recipe, Context(scale_g=Decimal("0.1"))).verdict is Verdict.GOOD
    assert [source.key for source in answer.sources] == ["bench-judgement"]


def test_no_scale_finer_than_a_kitchen_has_is_proposed() -> None:
    recipe = recipe_of({"cocoa_mass": 500.0, "lecithin_soy": 0.001})

    assert [remedy for remedy in weigh_out(recipe, Context()).remedies if "scale" in remedy.sentence] == []


def test_water_that_is_not_known_is_said_and_the_answer_still_given() -> None:
    dull = own_ingredient("Mystery mass", Kind.MASS, {"fat_g": 54.0})
    recipe = Recipe("bar", Form.BAR, (part(dull, 700.0), part("sugar_granulated", 300.0)))
    answer = weigh_out(recipe, STONE)

    assert answer.figure == 1000.0
    assert any("Mystery mass" in reason for reason in answer.reasons)


def test_without_kit_or_mould_there_are_only_weights() -> None:
    answer = weigh_out(BAR, Context())

    assert answer.sentence.startswith("1")
    assert "bar" not in answer.sentence
    assert (answer.reasons, answer.remedies) == ((), ())
    assert answer.details[0].rows[-1][0] == "Total"


def test_the_scale_of_the_workshop_rounds() -> None:
    recipe = recipe_of({"cocoa_mass": 333.36, "sugar_granulated": 166.64})

    assert weigh_out(recipe, replace(Context(), scale_g=Decimal(5))).figure == 500.0
    assert [row.weigh_g for row in weigh_table(recipe, Decimal("0.1")).rows] == [
        Decimal("333.4"),
        Decimal("166.6"),
    ]


def test_a_dose_far_under_every_scale_is_said_and_no_error() -> None:
    tiny = Recipe("tiny", Form.BAR, (part("cocoa_mass", 1e-7), part("lecithin_soy", 1e-22)))
    answer = weigh_out(tiny, Context())

    assert answer.verdict is Verdict.WATCH
    assert "The scale is too coarse" in answer.sentence


def test_a_kit_of_the_makers_own_keeps_its_name_in_a_sentence() -> None:
    agnes = replace(kit("stone"), key="own:1", name="Agnes, the stone grinder")
    bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 900.0), part("sugar_granulated", 300.0)))

    assert "stays in Agnes, the stone grinder" in weigh_out(bar, Context(kit=agnes)).reasons[0]
    assert "stays in the stone grinder" in weigh_out(bar, Context(kit=kit("stone"))).reasons[0]
