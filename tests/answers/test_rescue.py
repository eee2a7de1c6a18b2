"""What can still be done about a bowl, in words and as a remedy."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balance_problems import recipe_of, recipes
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.context import Context
from nibsmith.answers.rescue import Moment, Rescued, rescue
from nibsmith.science.errors import InputError
from nibsmith.science.formulate import Bench, rescue_limits
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Part, Recipe, Stage, part

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


TWO = recipe_of({"cocoa_nibs_roasted": 70.0, "sugar_granulated": 30.0})


def with_salt(
    context: Context, sugar_g: float = 300.0, strange: tuple[Part, ...] = (part("salt", 5.0),)
) -> Rescued:
    held = {"cocoa_nibs_roasted": 700.0, "sugar_granulated": sugar_g}
    return rescue(TWO, held, context, Moment(foreign=strange))


def plain(lines: tuple[str, ...]) -> list[str]:
    return [line.replace("\u00a0", " ").replace("\u202f", " ") for line in lines]


def test_what_is_not_in_the_recipe_is_said_to_stay_with_its_share() -> None:
    found = with_salt(Context())

    assert not found.possible
    assert found.sentence == (
        "Table salt is not in the recipe, and nothing takes it out of the bowl. "
        "The rest is within tolerance of the recipe as it is."
    )
    assert plain(found.gives) == [
        "Table salt: 0.5 % of what is in the bowl; the more of the rest goes in, the less it is."
    ]


def test_in_a_machine_the_least_share_is_what_it_can_hold() -> None:
    """5 g in 3 kg, which is what the stone grinder holds."""
    found = with_salt(Context(kit=kit("stone")), strange=(part("salt", 5.0), part("cinnamon", 3.0)))

    assert plain(found.gives) == [
        "Table salt: 0.5 % of what is in the bowl, 0.17 % at the least in the stone grinder.",
        "Ground cinnamon: 0.3 % of what is in the bowl, 0.1 % at the least in the stone grinder.",
    ]


def test_what_brings_the_rest_back_is_said_beside_what_stays() -> None:
    found = with_salt(Context(), sugar_g=400.0)

    assert "nibs the rest is within tolerance of the recipe." in found.sentence
    assert "must give" not in " ".join(found.gives)


def test_a_rest_that_does_not_come_back_says_what_is_in_its_way() -> None:
    found = with_salt(Context(kit=kit("stone")), sugar_g=1400.0)

    assert "The rest does not come back to the recipe either." in found.sentence
    assert "the machine holds no more" in found.sentence
    assert not any("Table salt" in line for line in found.gives)


def test_an_addition_that_the_scale_cannot_weigh_is_said() -> None:
    recipe = recipe_of({"cocoa_mass": 695.0, "sugar_granulated": 295.0, "lecithin_soy": 10.0})
    held = {"cocoa_mass": 695.0, "sugar_granulated": 295.0, "lecithin_soy": 6.0}
    found = rescue(recipe, held, Context())

    assert found.possible
    assert found.remarks == ("The scale is too coarse for the soya lecithin.",)
    assert rescue(recipe, held, Context(scale_g=Decimal("0.01"))).remarks == ()


def test_an_addition_under_a_step_of_the_scale_is_no_more_than_needed() -> None:
    """Butter at 2.5 g wants 0.049 g more; a tenth of a gram would be twice of it."""
    recipe = recipe_of({"cocoa_nibs_roasted": 5.0, "cocoa_butter": 84.0})
    found = rescue(
        recipe, {"cocoa_nibs_roasted": 2.5, "cocoa_butter": 47.25}, Context(scale_g=Decimal("0.1"))
    )

    assert [str(each.weigh_g) for each in found.additions] == ["0.05"]
    assert "0.05" in found.sentence
