"""Allergens come from the parts, all the way down, and unknown is never free."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.label import allergen_list, allergen_lists, allergens
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Stage, ingredients, own_ingredient, part


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


def groups(bar: Recipe, key: str) -> list[str]:
    return [found.group.key for found in allergens(bar, key).holds]


def test_milk_and_soya_are_found_on_both_lists() -> None:
    bar = recipe(part("cocoa_mass", 50.0), part("milk_powder_whole", 20.0), part("lecithin_soy", 0.3))

    assert set(groups(bar, "us")) == set(groups(bar, "eu")) == {"milk", "soybeans"}


def test_a_pine_nut_is_a_us_tree_nut_and_no_eu_nut() -> None:
    bar = recipe(part("cocoa_mass", 90.0), part("pine_nut", 10.0))

    assert groups(bar, "us") == ["tree_nuts"]
    assert groups(bar, "eu") == []


def test_coconut_is_on_neither_list() -> None:
    bar = recipe(part("cocoa_mass", 90.0), part("coconut_dried_unsweetened", 10.0))

    assert groups(bar, "us") == groups(bar, "eu") == []


def test_oats_are_gluten_in_the_eu_and_no_us_allergen() -> None:
    bar = recipe(part("cocoa_mass", 90.0), part("oat_flour", 10.0))

    assert groups(bar, "eu") == ["gluten"]
    assert groups(bar, "us") == []


def test_the_specific_nut_is_named_with_its_source() -> None:
    found = allergens(
        recipe(part("cocoa_mass", 90.0), part("hazelnut", 5.0), part("almond", 5.0)), "us"
    ).holds

    assert [one.words for one in found] == ["hazelnut, almond (tree nuts)"]
    assert found[0].ingredients == ("Hazelnuts", "Almonds")


def test_allergens_of_nested_rework_come_along() -> None:
    rework = recipe(part("cocoa_mass", 60.0), part("milk_powder_whole", 20.0), part("peanut", 20.0))
    twice = Recipe("master", Form.BAR, (part(rework, 30.0), part("cocoa_mass", 70.0)))
    bar = recipe(part(twice, 10.0), part("sugar_granulated", 90.0))

    assert groups(bar, "eu") == ["peanuts", "milk"]


def test_what_may_hold_sulphites_is_to_be_asked_not_declared() -> None:
    found = allergens(recipe(part("cocoa_mass", 90.0), part("apricot_dried", 10.0)), "eu")

    assert found.holds == ()
    assert [one.group.key for one in found.may_hold] == ["sulphites"]


def test_the_tag_alone_is_enough_to_ask_for_sulphites() -> None:
    fruit = own_ingredient("Own pears", Kind.OTHER_FOOD, {}, tags=frozenset({"may_hold_sulphites"}))

    found = allergens(recipe(part("cocoa_mass", 90.0), part(fruit, 10.0)), "eu")

    assert [one.group.key for one in found.may_hold] == ["sulphites"]


def test_what_is_held_for_sure_is_not_doubted_too() -> None:
    doubtful = own_ingredient("Mix", Kind.OTHER_FOOD, {}, allergens_eu=("milk?",), allergens_known=True)

    found = allergens(recipe(part("milk_powder_skim", 50.0), part(doubtful, 50.0)), "eu")

    assert [one.group.key for one in found.holds] == ["milk"]
    assert found.may_hold == ()


def test_an_own_ingredient_without_allergens_given_is_unknown() -> None:
    own = own_ingredient("House paste", Kind.OTHER_FOOD, {"fat_g": 50.0})

    assert allergens(recipe(part("cocoa_mass", 90.0), part(own, 10.0)), "eu").unknown == ("House paste",)


def test_an_own_milk_is_milk_whatever_its_sheet_leaves_out() -> None:
    own = own_ingredient("Farm milk powder", Kind.MILK, {"water_g": 3.0})
    bar = recipe(part("cocoa_butter", 90.0), part(own, 10.0))

    assert groups(bar, "us") == groups(bar, "eu") == ["milk"]


def test_a_part_taken_as_milk_is_milk() -> None:
    own = own_ingredient("White powder", Kind.OTHER_FOOD, {}, allergens_known=True)

    assert groups(recipe(part("cocoa_butter", 9.0), part(own, 1.0, kind=Kind.MILK)), "eu") == ["milk"]


def test_a_word_that_stands_on_no_list_is_reported() -> None:
    own = own_ingredient(
        "Mix", Kind.OTHER_FOOD, {}, allergens_eu=("nuts:pine_nut", "milk"), allergens_known=True
    )

    found = allergens(recipe(part("cocoa_mass", 9.0), part(own, 1.0)), "eu")

    assert found.unplaced == ("nuts:pine_nut",)
    assert [one.group.key for one in found.holds] == ["milk"]


def test_a_part_without_weight_brings_nothing() -> None:
    bar = recipe(part("cocoa_mass", 90.0), part("hazelnut", 0.0))

    assert groups(bar, "us") == []


@pytest.mark.parametrize("stage", Stage)
def test_the_stage_makes_no_difference(stage: Stage) -> None:
    bar = recipe(part("cocoa_mass", 90.0), part("hazelnut", 5.0, stage=stage))

    assert groups(bar, "eu") == ["nuts"]


def test_every_packaged_word_stands_on_its_list() -> None:
    for ingredient in ingredients().values():
        us = {word.removesuffix("?") for word in ingredient.allergens_us}
        eu = {word.removesuffix("?") for word in ingredient.allergens_eu}

        assert us <= set(allergen_list("us").words()), ingredient.key
        assert eu <= set(allergen_list("eu").words()), ingredient.key


def test_a_list_that_is_none_is_refused_with_those_there_are() -> None:
    with pytest.raises(InputError, match="us, eu"):
        allergen_list("mars")


@given(
    st.lists(st.sampled_from(sorted(ingredients())), min_size=1, max_size=6, unique=True), st.integers(0, 2)
)
def test_nesting_never_loses_an_allergen(keys: list[str], depth: int) -> None:
    plain = recipe(*(part(key, 1.0) for key in keys))
    nested = plain
    for level in range(depth):
        nested = Recipe(f"level {level}", Form.BAR, (part(nested, 5.0), part("sugar_granulated", 5.0)))

    for key in allergen_lists():
        assert set(groups(plain, key)) == set(groups(nested, key))
