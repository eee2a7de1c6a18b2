"""A caution is brought up by what is in the recipe or by the kit."""

from __future__ import annotations

import pytest

from nibsmith.science.kit import kits
from nibsmith.science.label import Where, allergen_notes, cautions
from nibsmith.science.mixture import Form, Kind, Part, Recipe, part


def keys(where: Where, *parts: Part, kit: str = "") -> set[str]:
    return {caution.key for caution in cautions(Recipe("bar", Form.BAR, parts), where, kit)}


def test_raw_nibs_bring_up_salmonella_for_eaters_and_at_work() -> None:
    raw = part("cocoa_nibs_raw", 1.0)

    assert "raw_cocoa" in keys(Where.PEOPLE, raw) & keys(Where.WORK, raw)


def test_beans_count_as_raw_whatever_the_ingredient() -> None:
    assert "raw_cocoa" in keys(Where.WORK, part("cocoa_nibs_roasted", 1.0, kind=Kind.BEAN))


def test_roasted_nibs_bring_up_the_roast_and_not_the_raw_caution() -> None:
    found = keys(Where.WORK, part("cocoa_nibs_roasted", 1.0))

    assert "roast" in found
    assert "raw_cocoa" not in found


def test_xylitol_is_a_caution_for_pets() -> None:
    assert "xylitol" in keys(Where.PETS, part("xylitol", 1.0), part("cocoa_butter", 1.0))


def test_cocoa_solids_are_a_caution_for_pets_and_butter_is_not() -> None:
    assert "theobromine" in keys(Where.PETS, part("cocoa_powder_natural", 1.0))
    assert "theobromine" not in keys(Where.PETS, part("cocoa_butter", 1.0))


@pytest.mark.parametrize("key", ["raisin", "raisin_golden", "currant_zante", "macadamia"])
def test_raisins_and_macadamias_are_a_caution_for_dogs(key: str) -> None:
    assert "dogs_fruit_nuts" in keys(Where.PETS, part(key, 1.0))


def test_ground_nuts_do_not_choke_and_pieces_do() -> None:
    assert "choking" in keys(Where.PEOPLE, part("almond", 1.0))
    assert "choking" not in keys(Where.PEOPLE, part("hazelnut_paste", 1.0))


def test_an_extract_brings_up_its_alcohol() -> None:
    assert "alcohol" in keys(Where.PEOPLE, part("vanilla_extract", 1.0))


def test_a_part_without_weight_brings_nothing_up() -> None:
    assert "xylitol" not in keys(Where.PETS, part("cocoa_mass", 1.0), part("xylitol", 0.0))


def test_the_shared_machine_is_always_told() -> None:
    for where in (Where.PEOPLE, Where.WORK):
        assert "shared_machine" in keys(where, part("cocoa_mass", 1.0))


def test_a_motor_is_told_of_with_every_kit_that_turns() -> None:
    turning = {key for key in kits() if "grinders" in keys(Where.WORK, part("cocoa_mass", 1.0), kit=key)}

    assert turning == kits().keys() - {"mortar"}


def test_every_caution_says_who_decides_or_is_about_the_bench_alone() -> None:
    everything = Recipe(
        "all", Form.BAR, tuple(part(key, 1.0) for key in ("cocoa_nibs_raw", "xylitol", "almond"))
    )
    found = {caution for where in Where for caution in cautions(everything, where, "stone")}

    assert all(caution.who or caution.where == {Where.WORK} for caution in found)


def test_no_caution_promises_anything() -> None:
    everything = Recipe(
        "all", Form.BAR, tuple(part(key, 1.0) for key in ("cocoa_nibs_raw", "xylitol", "almond"))
    )
    words = " ".join(
        caution.sentence.lower() for where in Where for caution in cautions(everything, where, "stone")
    )

    assert not any(word in words for word in ("validated", "compliant", " is safe", "guarantee"))


def test_cocoa_brings_caffeine_of_its_own_and_butter_none() -> None:
    assert "caffeine" in keys(Where.PEOPLE, part("cocoa_mass", 1.0))
    assert "caffeine" in keys(Where.PEOPLE, part("coffee_instant", 1.0))
    assert "caffeine" not in keys(Where.PEOPLE, part("cocoa_butter", 1.0), part("milk_powder_whole", 1.0))


def test_raw_cocoa_at_the_bench_is_sorted_and_kept_from_smoke() -> None:
    raw = part("cocoa_nibs_raw", 1.0)

    assert {"damaged_beans", "smoke"} <= keys(Where.WORK, raw)
    assert not {"damaged_beans", "smoke"} & keys(Where.PEOPLE, raw)
    assert not {"damaged_beans", "smoke"} & keys(Where.WORK, part("cocoa_nibs_roasted", 1.0))


@pytest.mark.parametrize("key", ["erythritol", "cocoa_nibs_raw", "oat_drink_powder"])
def test_what_invites_a_claim_brings_up_the_rules_of_claims(key: str) -> None:
    assert "claims" in keys(Where.PEOPLE, part(key, 1.0))
    assert "claims" not in keys(Where.PEOPLE, part("cocoa_mass", 1.0), part("sugar_granulated", 1.0))


def test_a_plain_bar_keeps_its_first_cautions_and_few_of_them() -> None:
    bar = Recipe("bar", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    found = [caution.key for caution in cautions(bar, Where.PEOPLE)]

    assert found == ["notice", "shared_machine", "theobromine", "caffeine", "metals"]


def test_coconut_milk_powder_may_hold_milk() -> None:
    notes = allergen_notes(Recipe("bar", Form.BAR, (part("coconut_milk_powder", 1.0),)))

    assert {note.key: note.may_hold for note in notes} == {"coconut": "", "coconut_milk": "milk"}
