"""What can still be done about a bowl, in words and as a remedy."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.rescue import Moment, rescue
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Bench, rescue_limits
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Recipe, Stage, part

DARK = recipe_of({"cocoa_mass": 65.0, "cocoa_butter": 5.0, "sugar_granulated": 29.7, "lecithin_soy": 0.3})


@given(recipes(most=6), st.data())
def test_the_remedy_brings_the_shares_back_and_half_of_it_does_not(
    recipe: Recipe, data: st.DataObject
) -> None:
    held = {each.label: each.mass_g * data.draw(st.floats(0.5, 2.0)) for each in recipe.parts}
    found = rescue(recipe, held, Context(scale_g=Decimal("0.1")))
    limits = rescue_limits(recipe, held, Bench())

    def worst(of: Recipe) -> float:
        return max(limit.gap({each.label: each.mass_g for each in of.parts}) for limit in limits)

    assert found.possible
    if found.remedy is None:
        assert worst(found.bowl) <= 1e-9
        return
    assert found.remedy.checked
    assert worst(apply_remedy(found.bowl, found.remedy)) <= 1e-9
    assert worst(apply_remedy(found.bowl, found.remedy, 0.5)) > 1e-9


def test_the_additions_are_said_as_the_scale_shows_them() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    found = rescue(recipe, {"cocoa_mass": 1400.0, "sugar_granulated": 640.0}, Context())

    assert (
        found.sentence.replace("\u00a0", " ").replace("\u202f", " ")
        == "Add 59 g of cocoa mass: 2 099 g in all."
    )
    assert found.added_g == pytest.approx(640 / 0.305 - 2040)
    assert found.recipe is not None
    assert found.recipe.part("cocoa_mass").mass_g == 1459.0
    assert [change.key for change in found.changes] == ["cocoa_as_weighed", "dry_cocoa_solids", "total_fat"]


def test_a_bowl_that_is_right_needs_nothing() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    found = rescue(recipe, {"cocoa_mass": 700.0, "sugar_granulated": 300.0}, Context())

    assert (found.possible, found.additions, found.remedy) == (True, (), None)
    assert found.sentence.startswith("Nothing has to go in")


def test_a_bowl_that_cannot_be_mended_says_what_is_in_the_way_and_how_far() -> None:
    held = {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 250.0, "lecithin_soy": 3.0}
    found = rescue(DARK, held, Context(), Moment(stage=Stage.LATE))

    assert not found.possible
    assert "it cannot go in any more at this stage" in found.sentence
    assert found.impossible is not None
    assert len(found.gives) == len(found.impossible.clashes)


def test_late_sugar_is_ground_on_and_said_so() -> None:
    held = {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 250.0, "lecithin_soy": 3.0}
    found = rescue(DARK, held, Context(), Moment(stage=Stage.LATE, grind_on=True))

    assert found.possible
    assert any(remark.startswith("Grind on") for remark in found.remarks)


def test_a_kit_that_does_not_grind_sugar_asks_for_powder() -> None:
    held = {"cocoa_mass": 650.0, "cocoa_butter": 50.0, "sugar_granulated": 200.0, "lecithin_soy": 3.0}
    found = rescue(DARK, held, Context(kit=kit("blender")), Moment())

    assert any("mill it to powder" in remark for remark in found.remarks)


def test_butter_is_melted_milk_is_dry_and_mass_is_tempered_after_tempering() -> None:
    recipe = recipe_of(
        {"cocoa_mass": 40.0, "cocoa_butter": 20.0, "sugar_granulated": 20.0, "milk_powder_whole": 20.0}
    )
    found = rescue(
        recipe, {"cocoa_mass": 440.0, "sugar_granulated": 200.0, "milk_powder_whole": 150.0}, Context()
    )
    assert any("Melt the fat" in remark for remark in found.remarks)
    assert any("dry and warm" in remark for remark in found.remarks)

    own = Recipe("own mass", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 40.0)))
    bar = Recipe("bar", Form.BAR, (part(own, 80.0), part("almond", 20.0)))
    more = rescue(bar, {"own mass": 700.0, "almond": 250.0}, Context(), Moment(stage=Stage.FOLDED_IN))
    assert any("tempered itself" in remark for remark in more.remarks)


def test_the_machine_and_the_shelf_of_the_workshop_count() -> None:
    recipe = recipe_of({"cocoa_mass": 70.0, "sugar_granulated": 30.0})
    held = {"cocoa_mass": 2030.0, "sugar_granulated": 960.0}
    full = rescue(recipe, held, Context(kit=kit("stone")))
    bare = rescue(recipe, held, Context(shelf_g={"cocoa_mass": 10.0}))

    assert "the machine holds no more" in full.sentence
    assert "there is no more on the shelf" in bare.sentence


def test_a_scale_too_coarse_is_said_and_the_exact_amounts_given() -> None:
    recipe = recipe_of({"cocoa_mass": 7.0, "sugar_granulated": 3.0})
    found = rescue(recipe, {"cocoa_mass": 14.0, "sugar_granulated": 6.4}, Context(scale_g=Decimal(100)))

    assert found.possible
    assert any("too coarse" in remark for remark in found.remarks)
    assert found.remedy is not None
    assert found.remedy.checked


def test_an_empty_bowl_is_refused() -> None:
    with pytest.raises(InputError, match="empty"):
        rescue(DARK, {}, Context())
