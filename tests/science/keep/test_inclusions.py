"""How things outside the mass keep, and what goes in their place."""

from __future__ import annotations

import pytest

from nibsmith.science.keep import Risk, judge_inclusion, replacement_for
from nibsmith.science.mixture import Form, Ingredient, Kind, Recipe, Stage, ingredient, own_ingredient, part


def risk(of: str | Ingredient, stage: Stage = Stage.FOLDED_IN) -> Risk:
    bar = Recipe("bar", Form.BAR, (part(of, 1.0, stage=stage),))
    return judge_inclusion(next(bar.leaves())).risk


@pytest.mark.parametrize("key", ["raspberry_raw", "strawberry_raw", "orange_peel_raw", "honey"])
def test_fresh_fruit_and_liquids_are_a_stop(key: str) -> None:
    assert risk(key) is Risk.STOP


def test_fruit_in_syrup_is_a_stop_and_drained_candied_fruit_a_watch_as_dried_fruit_is() -> None:
    in_syrup = own_ingredient(
        "Cherries in syrup", Kind.OTHER_FOOD, {"water_g": 25.0}, tags=frozenset({"fruit_in_syrup"})
    )

    assert risk(in_syrup) is Risk.STOP
    assert risk("candied_fruit") is risk("raisin") is Risk.WATCH  # 16.7 % and 15.4 % of water


def test_soft_caramel_is_a_stop_by_its_tag() -> None:
    caramel = own_ingredient("Caramel", Kind.OTHER_FOOD, {"water_g": 9.0}, tags=frozenset({"soft_caramel"}))

    assert risk(caramel) is Risk.STOP


@pytest.mark.parametrize("key", ["raisin", "apricot_dried", "cranberry_dried", "fig_dried", "goji_dried"])
def test_dried_fruit_is_a_watch(key: str) -> None:
    assert risk(key) is Risk.WATCH


@pytest.mark.parametrize("key", ["raspberry_freeze_dried", "cocoa_nibs_roasted", "salt", "sugar_granulated"])
def test_dry_things_are_fine(key: str) -> None:
    assert risk(key) is Risk.FINE


@pytest.mark.parametrize(
    "key", ["almond_dry_roasted", "hazelnut_dry_roasted", "macadamia", "peanut_dry_roasted"]
)
def test_roasted_nuts_are_fine_with_a_shorter_life(key: str) -> None:
    bar = Recipe("bar", Form.BAR, (part(key, 1.0),))
    judged = judge_inclusion(next(bar.leaves()))

    assert judged.risk is Risk.FINE
    assert judged.shorter_life


@pytest.mark.parametrize("key", ["almond", "hazelnut", "peanut", "sesame_whole"])
def test_raw_nuts_and_seeds_are_a_watch(key: str) -> None:
    assert risk(key) is Risk.WATCH


def test_a_wet_filling_is_decided_by_its_water_activity() -> None:
    assert risk("honey", Stage.FILLING) is Risk.UNKNOWN
    assert risk("honey", Stage.ON_BACK) is Risk.STOP


def test_water_that_is_not_given_is_unknown() -> None:
    assert risk(own_ingredient("Brittle", Kind.OTHER_FOOD, {"fat_g": 20.0})) is Risk.UNKNOWN


@pytest.mark.parametrize(("water_g", "expected"), [(4.0, Risk.FINE), (4.1, Risk.WATCH), (40.0, Risk.STOP)])
def test_an_own_inclusion_is_judged_by_its_water(water_g: float, expected: Risk) -> None:
    assert risk(own_ingredient("Bits", Kind.OTHER_FOOD, {"water_g": water_g})) is expected


@pytest.mark.parametrize(
    "key", ["raspberry_raw", "strawberry_raw", "honey", "molasses", "almond", "hazelnut"]
)
def test_a_replacement_brings_the_same_dry_matter(key: str) -> None:
    old = ingredient(key)
    new = replacement_for(old)
    assert new is not None

    dry_old = 100 - old.composition["water_g"]
    dry_new = 100 - ingredient(new.key).composition["water_g"]

    assert new.grams_per_gram * dry_new == pytest.approx(dry_old)
    assert ingredient(new.key).composition["water_g"] < old.composition["water_g"]


def test_what_has_no_dry_counterpart_has_no_replacement() -> None:
    assert replacement_for(ingredient("raisin")) is None


def test_nibs_strewn_on_are_dry_by_their_water_and_unknown_without_it() -> None:
    untold = own_ingredient("Mystery nibs", Kind.NIB, {"fat_g": 53.0})
    damp = own_ingredient("Damp nibs", Kind.NIB, {"fat_g": 50.0, "water_g": 6.0})
    things = (ingredient("cocoa_nibs_roasted"), untold, damp, ingredient("cocoa_butter"))
    parts = tuple(part(thing, 1.0, stage=Stage.ON_BACK) for thing in things)

    risks = [judge_inclusion(leaf).risk for leaf in Recipe("b", Form.BAR, parts).leaves()]

    assert risks == [Risk.FINE, Risk.UNKNOWN, Risk.WATCH, Risk.FINE]
