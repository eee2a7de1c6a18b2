"""Sums over the parts, on the four bases."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError, UnknownFigure
from nibsmith.science.mixture import (
    PROPERTIES,
    Basis,
    Form,
    Grind,
    Kind,
    Part,
    Recipe,
    Span,
    Stage,
    as_weighed,
    finished,
    in_machine,
    ingredients,
    own_ingredient,
    part,
    product,
    property_limit,
    row_of,
)

KEYS = sorted(ingredients())


def bar(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


recipes = st.lists(
    st.tuples(st.sampled_from(KEYS), st.floats(min_value=0.5, max_value=5000.0)),
    min_size=1,
    max_size=8,
    unique_by=lambda row: row[0],
).map(lambda rows: bar(*(part(key, mass_g) for key, mass_g in rows)))


@given(recipes, st.floats(min_value=0.01, max_value=100.0))
def test_figures_do_not_depend_on_the_size_of_the_batch(recipe: Recipe, factor: float) -> None:
    small, large = as_weighed(recipe), as_weighed(recipe.scaled(recipe.total_g * factor))
    for key, figure in small.figures().items():
        assert large.figure(key).value == pytest.approx(figure.value, rel=1e-9, abs=1e-12)


@given(recipes)
def test_a_figure_lies_within_its_range_and_shares_lie_within_100(recipe: Recipe) -> None:
    for figure in as_weighed(recipe).figures().values():
        assert figure.low <= figure.value * (1 + 1e-12) + 1e-12
        assert figure.value <= figure.high * (1 + 1e-12) + 1e-12
        if figure.unit == "%":
            assert figure.low >= -1e-9
            assert figure.high <= 100 + 1e-9


@given(recipes)
def test_cocoa_milk_and_fats_add_up(recipe: Recipe) -> None:
    mix = as_weighed(recipe)
    if not (mix.knows("dry_cocoa_solids") and mix.knows("total_fat") and mix.knows("milk_solids")):
        return
    value = {key: mix.percent(key) for key in PROPERTIES if mix.knows(key)}
    assert value["dry_cocoa_solids"] == pytest.approx(
        value["cocoa_butter"] + value["fat_free_dry_cocoa_solids"], rel=1e-9, abs=1e-9
    )
    assert value["milk_solids"] == pytest.approx(
        value["milk_fat"] + value["milk_solids_nonfat"], rel=1e-9, abs=1e-9
    )
    assert value["total_fat"] == pytest.approx(value["law_fat"] + value["other_fat"], rel=1e-9, abs=1e-9)


@given(recipes)
def test_a_recipe_used_as_a_part_comes_to_the_same(recipe: Recipe) -> None:
    whole = bar(part(recipe, 250.0, label="inner"))
    direct, nested = as_weighed(recipe), as_weighed(whole)
    assert set(direct.figures()) == set(nested.figures())
    for key, figure in direct.figures().items():
        assert nested.percent(key) == pytest.approx(figure.value, rel=1e-9, abs=1e-12)


def test_inclusions_of_a_recipe_ground_in_again_come_into_the_mass_ground() -> None:
    old = bar(part("cocoa_mass", 80.0), part("hazelnut", 20.0))
    new = bar(part(old, 100.0, label="rework", stage=Stage.START), part("cocoa_mass", 100.0))
    nut = next(leaf for leaf in new.leaves() if leaf.ingredient.key == "hazelnut")
    assert (nut.in_machine, nut.grind, nut.mass_g) == (True, Grind.REFINED, 20.0)


def test_what_is_folded_in_is_in_the_product_and_not_in_the_mass() -> None:
    recipe = bar(part("cocoa_mass", 60.0), part("sugar_granulated", 20.0), part("almond", 20.0))
    assert in_machine(recipe).mass_g == 80.0
    assert product(recipe).mass_g == 100.0
    assert in_machine(recipe).percent("other_fat") == 0.0
    assert product(recipe).percent("other_fat") == pytest.approx(0.2 * 49.93)


@given(st.floats(min_value=0.1, max_value=1.5))
def test_the_finished_mass_holds_the_end_water_and_all_else(end: float) -> None:
    recipe = bar(part("cocoa_nibs_raw", 700.0), part("sugar_granulated", 300.0))
    before, after = in_machine(recipe), finished(recipe, end)
    assert after.percent("water") == pytest.approx(end, rel=1e-9)
    assert after.mass_g + after.evaporated_g == pytest.approx(before.mass_g, rel=1e-12)
    assert after.amount("dry_cocoa_solids").value == before.amount("dry_cocoa_solids").value


def test_a_mass_drier_than_the_end_water_takes_up_none() -> None:
    recipe = bar(part("cocoa_butter", 50.0), part("sugar_granulated", 50.0))
    assert finished(recipe, 1.0).evaporated_g == 0.0


def test_an_unknown_constituent_names_the_part_and_is_never_zero() -> None:
    mine = own_ingredient("House mass", Kind.MASS, {"water_g": 1.5, "fat_g": 54.0})
    mix = as_weighed(bar(part(mine, 70.0), part("sugar_granulated", 30.0)))
    assert mix.percent("cocoa_butter") == pytest.approx(37.8)
    with pytest.raises(UnknownFigure) as refusal:
        mix.percent("protein")
    assert refusal.value.missing == ("House mass",)


def test_a_part_of_no_weight_makes_nothing_unknown() -> None:
    mine = own_ingredient("Mystery", Kind.OTHER_FOOD, {})
    assert as_weighed(bar(part(mine, 0.0), part("cocoa_butter", 10.0))).percent("fat") == 100.0


def test_fat_and_water_are_enough_for_the_cocoa_figures() -> None:
    nibs = own_ingredient("Nibs", Kind.NIB, {"water_g": 2.5, "fat_g": 52.0})
    mix = as_weighed(bar(part(nibs, 100.0)))
    assert mix.percent("dry_cocoa_solids") == pytest.approx(97.5)
    assert mix.percent("fat_free_dry_cocoa_solids") == pytest.approx(45.5)


def test_emulsifier_is_no_fat_for_the_law() -> None:
    mix = as_weighed(
        bar(part("cocoa_butter", 30.0), part("lecithin_soy", 1.0), part("sugar_granulated", 69.0))
    )
    assert (mix.percent("total_fat"), mix.percent("emulsifier"), mix.percent("fat")) == (30.0, 1.0, 31.0)


def test_kind_can_be_overruled_and_carries_the_figures() -> None:
    recipe = bar(part("coconut_oil", 10.0, kind=Kind.OTHER_FOOD), part("cocoa_mass", 90.0))
    assert as_weighed(recipe).percent("vegetable_fat") == 0.0
    assert as_weighed(recipe).percent("other_fat") == 10.0


def test_the_range_of_the_nibs_reaches_the_mixture() -> None:
    figure = as_weighed(bar(part("cocoa_nibs_roasted", 70.0), part("sugar_granulated", 30.0))).figure(
        "cocoa_butter"
    )
    assert (figure.low, figure.high) == (pytest.approx(32.9), pytest.approx(40.6))
    assert figure.basis is Basis.AS_WEIGHED


@pytest.mark.parametrize("mass_g", [-1.0, float("nan"), float("inf")])
def test_a_mass_that_is_no_weight_is_refused(mass_g: float) -> None:
    with pytest.raises(InputError):
        bar(part("cocoa_mass", mass_g))


def test_an_empty_recipe_and_two_equal_labels_are_refused() -> None:
    with pytest.raises(InputError):
        Recipe("none", Form.BAR, ())
    with pytest.raises(InputError):
        bar(part("cocoa_mass", 1.0), part("cocoa_mass", 1.0))


@given(recipes, st.floats(min_value=0.01, max_value=0.99))
def test_a_property_limit_agrees_with_the_figure(recipe: Recipe, low: float) -> None:
    mix = as_weighed(recipe)
    if not mix.knows("total_fat"):
        return
    limit = property_limit(recipe, "total_fat", low=low, basis=Basis.PRODUCT)
    masses = {one.label: one.mass_g for one in recipe.parts}
    assert 100 * limit.value(masses) == pytest.approx(mix.percent("total_fat"), rel=1e-9, abs=1e-12)
    (row, bound), *rest = limit.rows()
    kept = sum(row[label] * masses[label] for label in row) >= bound - 1e-9 * recipe.total_g
    assert not rest
    assert kept == (limit.gap(masses) <= 1e-9)


def test_a_strict_limit_is_not_met_by_equality() -> None:
    recipe = bar(part("cocoa_butter", 30.0), part("sugar_granulated", 70.0))
    masses = {one.label: one.mass_g for one in recipe.parts}
    limit = replace(property_limit(recipe, "cocoa_butter", high=0.3, basis=Basis.PRODUCT), strict=True)
    assert limit.gap(masses) > 0
    assert replace(limit, strict=False).gap(masses) == pytest.approx(0.0, abs=1e-15)


def test_a_row_over_a_nested_recipe_follows_its_shares() -> None:
    inner = bar(part("cocoa_butter", 1.0), part("sugar_granulated", 3.0))
    outer = bar(part(inner, 7.0, label="sweet butter"), part("cocoa_mass", 1.0))
    assert row_of(outer, "cocoa_butter")["sweet butter"] == pytest.approx(0.25)


def test_figures_of_the_finished_mass_range_with_the_water_it_ends_at() -> None:
    """Each end is the figure of a mass that ends just there."""
    masses_g = {"cocoa_nibs_roasted": 617.0, "cocoa_butter": 65.0, "sugar_granulated": 318.0}
    recipe = bar(*(part(key, mass_g) for key, mass_g in masses_g.items()))
    wide, dry, wet = finished(recipe, Span(0.7, 1.0, 1.2)), finished(recipe, 0.7), finished(recipe, 1.2)
    assert (wide.figure("water").low, wide.figure("water").high) == pytest.approx((0.7, 1.2))
    cocoa = wide.figure("dry_cocoa_solids")
    ends = wet.percent("dry_cocoa_solids"), dry.percent("dry_cocoa_solids")
    assert (cocoa.low, cocoa.high) == pytest.approx(ends, rel=1e-12)
    assert cocoa.value == pytest.approx(finished(recipe, 1.0).percent("dry_cocoa_solids"), rel=1e-12)
    butter = wide.figure("cocoa_butter")
    assert butter.low == pytest.approx(wet.figure("cocoa_butter").low, rel=1e-12)
    assert butter.high == pytest.approx(dry.figure("cocoa_butter").high, rel=1e-12)
