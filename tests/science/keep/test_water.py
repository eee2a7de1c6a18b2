"""Water in a mass is told apart by whose it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.keep import extra_water, mass_water, water_limit, water_to_remove
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Stage, ingredients, own_ingredient, part

KNOWN = sorted(key for key, one in ingredients().items() if "water_g" in one.composition)


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


def test_cocoa_brings_no_extra_water_whatever_its_own() -> None:
    water = mass_water(recipe(part("cocoa_nibs_raw", 70.0), part("sugar_granulated", 30.0)))

    assert water.cocoa.value == pytest.approx(0.7 * 6.0)
    assert water.extra.value == pytest.approx(0.3 * 0.02)


def test_twenty_percent_of_milk_powder_at_three_percent_brings_its_usual_water_and_nothing_extra() -> None:
    milk = own_ingredient("Milk powder", Kind.MILK, {"water_g": 3.0, "fat_g": 26.0})

    water = mass_water(recipe(part("cocoa_mass", 80.0), part(milk, 20.0)))

    assert water.milk == pytest.approx(0.6)
    assert water.extra.value == 0


@pytest.mark.parametrize(("water_g", "usual", "extra"), [(4.9, 4.9, 0.0), (5.0, 5.0, 0.0), (8.0, 5.0, 3.0)])
def test_only_what_a_milk_powder_holds_above_five_percent_is_extra(
    water_g: float, usual: float, extra: float
) -> None:
    milk = own_ingredient("Milk powder", Kind.MILK, {"water_g": water_g})

    water = mass_water(recipe(part(milk, 100.0)))

    assert water.milk == pytest.approx(usual)
    assert water.extra.value == pytest.approx(extra)


def test_liquid_milk_is_a_liquid_and_not_a_milk_powder() -> None:
    milk = own_ingredient("Whole milk", Kind.MILK, {"water_g": 88.0})

    water = mass_water(recipe(part("cocoa_mass", 95.0), part(milk, 5.0)))

    assert [leaf.ingredient.name for leaf in water.liquids] == ["Whole milk"]
    assert water.milk == 0
    assert water.extra.value == 0
    assert water.wet == pytest.approx(4.4)


@pytest.mark.parametrize(("water_g", "liquid"), [(9.9, False), (10.0, True)])
def test_a_sugar_is_a_liquid_from_ten_percent_of_water_on(water_g: float, liquid: bool) -> None:
    syrup = own_ingredient("Sugar", Kind.SUGAR, {"water_g": water_g})

    assert bool(mass_water(recipe(part("cocoa_mass", 9.0), part(syrup, 1.0))).liquids) is liquid


@pytest.mark.parametrize(("water_g", "wet"), [(39.9, False), (40.0, True)])
def test_a_food_is_wet_from_forty_percent_of_water_on(water_g: float, wet: bool) -> None:
    puree = own_ingredient("Puree", Kind.OTHER_FOOD, {"water_g": water_g})

    assert bool(mass_water(recipe(part("cocoa_mass", 9.0), part(puree, 1.0))).liquids) is wet


def test_any_alcohol_makes_a_liquid() -> None:
    spirit = own_ingredient("Spirit", Kind.OTHER_FOOD, {"water_g": 20.0, "alcohol_g": 0.5})

    assert mass_water(recipe(part("cocoa_mass", 9.0), part(spirit, 1.0))).liquids


def test_unknown_water_counts_from_none_to_the_whole_weight() -> None:
    water = mass_water(
        recipe(part("cocoa_mass", 98.0), part(own_ingredient("Dried herb", Kind.OTHER_FOOD, {}), 2.0))
    )

    assert (water.extra.low, water.extra.high) == (0.0, pytest.approx(2.0))
    assert water.unknown == ("Dried herb",)


def test_fold_ins_bring_no_water_to_the_mass() -> None:
    water = mass_water(recipe(part("cocoa_mass", 98.0), part("raspberry_raw", 50.0)))

    assert water.mass_g == 98.0
    assert water.liquids == ()


def test_an_empty_machine_holds_no_water() -> None:
    assert mass_water(recipe(part("almond", 1.0))).extra.high == 0


@given(st.dictionaries(st.sampled_from(KNOWN), st.floats(1, 1000), min_size=1, max_size=8))
def test_the_shares_of_water_add_up_to_all_the_water(masses: dict[str, float]) -> None:
    bar = recipe(*(part(key, mass_g, stage=Stage.START) for key, mass_g in masses.items()))
    total_g = sum(leaf.mass_g * leaf.ingredient.composition["water_g"] / 100 for leaf in bar.leaves())

    water = mass_water(bar)

    summed = water.cocoa.value + water.milk + water.extra.value + water.wet
    assert summed == pytest.approx(100 * total_g / bar.total_g, rel=1e-9)


@given(st.floats(1, 500), st.floats(0.1, 1.5))
def test_the_limit_is_linear_in_the_masses(cinnamon_g: float, limit: float) -> None:
    bar = recipe(part("cocoa_mass", 500.0), part("cinnamon", cinnamon_g))
    masses = {one.label: one.mass_g for one in bar.parts}

    assert water_limit(bar, limit).value(masses) * 100 == pytest.approx(mass_water(bar).extra.value)


@given(st.floats(0.5, 50), st.floats(100, 5000), st.floats(0.1, 2))
def test_what_is_driven_out_brings_the_mass_to_its_limit(water_g: float, mass_g: float, limit: float) -> None:
    removed_g = water_to_remove(water_g, mass_g, limit)

    if removed_g:
        assert 100 * (water_g - removed_g) / (mass_g - removed_g) == pytest.approx(limit)
    else:
        assert 100 * water_g / mass_g <= limit * (1 + 1e-12)  # binary rounding of the same quotient


@pytest.mark.parametrize("limit", [-1, 100, 250])
def test_a_limit_that_is_no_share_is_refused(limit: float) -> None:
    with pytest.raises(InputError):
        water_to_remove(1.0, 100.0, limit)


def test_the_extra_water_of_an_unknown_part_is_unknown_and_not_zero() -> None:
    (leaf,) = recipe(part(own_ingredient("Dried herb", Kind.OTHER_FOOD, {}), 1.0)).leaves()

    assert extra_water(leaf) is None
