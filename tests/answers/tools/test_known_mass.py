"""A mass of which only figures are known has these figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.tools.known_mass import KnownMass, known_mass
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import as_weighed, in_machine
from nibsmith.science.temper import Chocolate, chocolate_of


@given(
    st.sampled_from(Chocolate),
    st.floats(20.0, 50.0),
    st.floats(0.0, 1.0),
    st.floats(50.0, 50_000.0),
)
def test_fat_lecithin_and_weight_are_those_that_were_said(
    kind: Chocolate, fat: float, lecithin: float, mass_g: float
) -> None:
    recipe = known_mass(KnownMass(kind, fat, lecithin, mass_g))
    mixture = as_weighed(recipe)
    assert recipe.total_g == pytest.approx(mass_g)
    assert mixture.percent("total_fat") == pytest.approx(fat)
    assert mixture.percent("emulsifier") == pytest.approx(lecithin, abs=1e-9)  # nothing where none was said


@pytest.mark.parametrize("kind", list(Chocolate))
@pytest.mark.parametrize("fat", [25.0, 33.0, 42.0])
def test_it_is_tempered_as_the_kind_that_was_said(kind: Chocolate, fat: float) -> None:
    assert chocolate_of(in_machine(known_mass(KnownMass(kind, fat)))) is kind


@pytest.mark.parametrize(
    ("mass", "field"),
    [
        (KnownMass(Chocolate.DARK, 0.0), "fat_percent"),
        (KnownMass(Chocolate.DARK, 100.0), "fat_percent"),
        (KnownMass(Chocolate.DARK, 35.0, -1.0), "lecithin_percent"),
        (KnownMass(Chocolate.DARK, 35.0, 65.0), "lecithin_percent"),
        (KnownMass(Chocolate.DARK, 35.0, 0.0, 0.0), "mass_g"),
    ],
)
def test_what_cannot_be_true_is_refused_with_its_field(mass: KnownMass, field: str) -> None:
    with pytest.raises(InputError) as refused:
        known_mass(mass)
    assert refused.value.field == field
