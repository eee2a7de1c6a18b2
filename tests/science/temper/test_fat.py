"""Fat of a mass, and the limits it has to keep."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form, Kind, Part, Recipe, Stage, in_machine, own_ingredient, part
from nibsmith.science.temper import (
    Chocolate,
    cocoa_butter_limit,
    cocoa_butter_share_at,
    fat_limit,
    fat_notes,
    fat_phase,
    purity_limit,
)


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


def test_it_is_the_total_fat_of_the_mixture() -> None:
    bar = recipe(
        part("cocoa_nibs_roasted", 60.0), part("milk_powder_whole", 20.0), part("sugar_granulated", 20.0)
    )

    figure, fat = in_machine(bar).figure("total_fat"), fat_phase(bar).total_percent

    assert (fat.low, fat.value, fat.high) == pytest.approx((figure.low, figure.value, figure.high))


def test_nuts_folded_in_change_nothing_and_ground_in_they_do() -> None:
    base = (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0))
    folded = fat_phase(recipe(*base, part("hazelnut", 20.0)))
    ground = fat_phase(recipe(*base, part("hazelnut", 20.0, stage=Stage.WITH_SUGAR)))

    assert folded == fat_phase(recipe(*base))
    assert ground.other_fat_g.value > 0
    assert ground.cocoa_butter_share < 1


def test_emulsifier_is_no_fat_here() -> None:
    fat = fat_phase(
        recipe(part("cocoa_butter", 30.0), part("lecithin_soy", 1.0), part("sugar_granulated", 69.0))
    )

    assert fat.total_percent.value == pytest.approx(30.0)


def test_a_pinch_of_unknown_fat_widens_the_range_by_its_weight() -> None:
    herb = own_ingredient("Dried herb", Kind.OTHER_FOOD, {})
    fat = fat_phase(recipe(part("cocoa_butter", 30.0), part(herb, 0.1), part("sugar_granulated", 69.9)))

    assert fat.unknown == ("Dried herb",)
    assert fat.total_percent.high - fat.total_percent.low == pytest.approx(0.1)
    assert fat.unknown_percent == pytest.approx(0.1)


def test_an_empty_machine_is_refused() -> None:
    with pytest.raises(InputError, match="machine"):
        fat_phase(recipe(part("almond", 1.0)))


@given(st.floats(1, 900), st.floats(1, 900), st.floats(1, 900))
def test_the_limits_say_what_the_fat_phase_says(nibs: float, butter: float, paste: float) -> None:
    bar = recipe(
        part("cocoa_nibs_roasted", nibs),
        part("cocoa_butter", butter),
        part("hazelnut_paste", paste),
        part("sugar_granulated", 500.0),
    )
    masses, fat = {one.label: one.mass_g for one in bar.parts}, fat_phase(bar)

    assert fat_limit(bar, 28.0).value(masses) * 100 == pytest.approx(fat.total_percent.value)
    assert fat_limit(bar, 28.0, "low").value(masses) * 100 == pytest.approx(fat.total_percent.low)
    butter_limit = cocoa_butter_limit(bar, Chocolate.DARK, "low")
    assert butter_limit.value(masses) * 100 == pytest.approx(fat.cocoa_butter_percent.low)
    assert purity_limit(bar, 3.0).value(masses) == pytest.approx(fat.cocoa_butter_share)


def test_dark_wants_a_quarter_and_milk_and_white_a_fifth() -> None:
    bar = recipe(part("cocoa_butter", 1.0))

    lows = {chocolate.value: cocoa_butter_limit(bar, chocolate).low for chocolate in Chocolate}

    assert lows == {"dark": 0.25, "milk": 0.2, "white": 0.2}


def test_the_bound_on_purity_is_the_share_at_that_softening() -> None:
    assert purity_limit(recipe(part("cocoa_butter", 1.0)), 2.0).low == cocoa_butter_share_at(2.0)


def test_coconut_fat_in_the_mass_is_told_of_and_folded_in_it_is_not() -> None:
    assert [note.key for note in fat_notes(recipe(part("coconut_oil", 1.0)))] == ["lauric"]
    assert fat_notes(recipe(part("cocoa_mass", 1.0), part("coconut_oil", 1.0, stage=Stage.FOLDED_IN))) == ()
