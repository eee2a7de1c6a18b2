"""Which program a mass is worked by."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Form, Kind, Part, Recipe, in_machine, own_ingredient, part
from nibsmith.science.temper import (
    Chocolate,
    chocolate_of,
    program,
    program_for,
    shifted,
    softening,
    softest_published,
)


def kind(*parts: Part) -> Chocolate:
    return chocolate_of(in_machine(Recipe("bar", Form.BAR, parts)))


def test_milk_solids_make_a_milk_chocolate_from_twelve_percent_on() -> None:
    solids = own_ingredient("Milk solids", Kind.MILK, {"water_g": 0.0, "fat_g": 25.0})

    assert kind(part("cocoa_mass", 88.1), part(solids, 11.9)) is Chocolate.DARK
    assert kind(part("cocoa_mass", 87.9), part(solids, 12.1)) is Chocolate.MILK


def test_white_has_less_than_two_and_a_half_percent_of_fat_free_cocoa() -> None:
    dry = own_ingredient("Dry cocoa", Kind.POWDER, {"water_g": 0.0, "fat_g": 0.0})
    rest = (part("cocoa_butter", 30.0), part("milk_powder_whole", 30.0))

    assert kind(*rest, part(dry, 2.4), part("sugar_granulated", 37.6)) is Chocolate.WHITE
    assert kind(*rest, part(dry, 2.6), part("sugar_granulated", 37.4)) is Chocolate.MILK


def test_a_white_mass_without_milk_is_tempered_as_dark() -> None:
    assert kind(part("cocoa_butter", 40.0), part("oat_drink_powder", 60.0)) is Chocolate.DARK


def test_only_the_dark_program_is_shifted() -> None:
    for chocolate in (Chocolate.MILK, Chocolate.WHITE):
        assert program_for(chocolate, 1.7, other_fat=False) == program(chocolate)
        with pytest.raises(InputError, match="dark"):
            shifted(program(chocolate), 1.0)


@given(st.floats(0, 4.5))
def test_a_shift_lowers_cooling_and_work_alike_and_leaves_melting(kelvin: float) -> None:
    dark, lower = program(Chocolate.DARK), program_for(Chocolate.DARK, kelvin, other_fat=True)

    assert lower.melt_celsius == dark.melt_celsius
    assert lower.work_celsius.value == pytest.approx(dark.work_celsius.value - kelvin)
    assert lower.work_celsius.low == pytest.approx(dark.work_celsius.low - kelvin)
    assert lower.cool_celsius.value == pytest.approx(dark.cool_celsius.value - kelvin)
    assert lower.most_celsius == pytest.approx(dark.most_celsius - kelvin)  # type: ignore[operator]


def test_nut_oil_ground_into_milk_chocolate_takes_the_cooler_shifted_dark_program() -> None:
    lowered = softening(0.6)

    assert program_for(Chocolate.MILK, lowered, other_fat=True).chocolate is Chocolate.DARK
    assert program_for(Chocolate.MILK, lowered, other_fat=True).work_celsius.value < 29


def test_a_trace_of_other_fat_never_makes_a_program_warmer() -> None:
    for chocolate in Chocolate:
        with_other = program_for(chocolate, 0.3, other_fat=True).work_celsius.value

        assert with_other <= program(chocolate).work_celsius.value


def test_the_softest_published_program_is_white() -> None:
    assert softest_published() == 3.0
