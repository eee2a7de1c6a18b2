"""What is published of cooling chocolate: contraction, heat, air along a plate."""

from __future__ import annotations

import pytest

from nibsmith.science.cool import Gas, Moulds, contraction, fridge_load, plate_coefficient
from nibsmith.science.temper import solid_fat


def test_well_seeded_cocoa_butter_shrinks_by_about_two_percent_at_16_degrees() -> None:
    # Lovegren and Feuge 1965, abstract: about 2 % of the length at most.
    assert contraction(1.0, solid_fat(16.0)) == pytest.approx(2.0, rel=0.25)


def test_a_kilogram_of_dark_chocolate_brings_73_kilojoules_two_thirds_of_them_latent() -> None:
    # Beckett, constants: 1590 J/(kg K) and 46 J/g. 1590·17 + 46 000 = 73 030 J.
    load = fridge_load(Moulds(1, 1000.0, 0.0, 20.0), 31.0, 14.0, 30.0)

    assert load.total == pytest.approx(73_030, abs=0.5)
    assert load.latent / load.total == pytest.approx(0.63, abs=0.005)


def test_incropera_7_1_air_along_a_plate() -> None:
    # Example 7.1, from memory: 10 m/s along 0.5 m, air at 6 kPa and 437 K with nu 5.21e-4 m²/s, k 0.0364, Pr
    # 0.687 gives 57.4 for the Nusselt number and 4.18 W/(m² K).
    found = plate_coefficient(10.0, 0.5, Gas(0.0364, 5.21e-4, 0.687))

    assert found == pytest.approx(4.18, abs=0.01)
    assert found * 0.5 / 0.0364 == pytest.approx(57.4, abs=0.05)
