"""Cocoa mass + cocoa butter + sugar against published analyses of dark and white chocolate.

Source: USDA National Nutrient Database for Standard Reference, Release 28, NDB 19902, 19903, 19904 and 19087.
The shares come from a least-squares fit of the seven proximates (fat nearly exact by construction, so it is
not checked). The tolerances are what the trade samples allow: they are partly alkalised and hold traces of
milk.
"""

from __future__ import annotations

import pytest

from nibsmith.science.mixture import Form, Mixture, Recipe, as_weighed, finished_chocolates, part

DARK = {
    "CHECK_dark_70_85": (68.49, 6.65, 24.85),
    "CHECK_dark_60_69": (51.23, 11.62, 37.15),
    "CHECK_dark_45_59": (42.85, 8.86, 48.30),
}


def dark(key: str, mass_key: str = "cocoa_mass") -> Mixture:
    mass, butter, sugar = DARK[key]
    parts = (part(mass_key, mass), part("cocoa_butter", butter), part("sugar_granulated", sugar))
    return as_weighed(Recipe(key, Form.BAR, parts))


@pytest.mark.parametrize("key", DARK)
@pytest.mark.parametrize(
    ("figure", "column", "within_g"),
    [
        ("fibre", "fibre_g", 0.6),
        ("ash", "ash_g", 0.2),
        ("carbohydrate", "carb_g", 1.6),
        ("sugars", "sugars_g", 1.5),
    ],
)
def test_fibre_ash_and_carbohydrate_come_out_as_published(
    key: str, figure: str, column: str, within_g: float
) -> None:
    published = finished_chocolates()[key].composition[column]
    assert dark(key).percent(figure) == pytest.approx(published, abs=within_g)


@pytest.mark.parametrize("key", DARK)
def test_energy_by_the_general_factors_comes_out_as_published(key: str) -> None:
    """USDA gives these bars on the general 4-9-4 factors, so one set of factors may be compared."""
    published = finished_chocolates()[key].composition
    energy = 4 * published["protein_g"] + 9 * published["fat_g"] + 4 * published["carb_g"]
    assert dark(key).percent("energy_us") == pytest.approx(energy, rel=0.006)


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [("CHECK_dark_70_85", 70, 85), ("CHECK_dark_60_69", 60, 69), ("CHECK_dark_45_59", 45, 59)],
)
def test_the_fitted_cocoa_percentage_lies_in_the_class_on_the_label(
    key: str, low: float, high: float
) -> None:
    assert low <= dark(key).percent("cocoa_as_weighed") <= high


def test_white_chocolate_comes_out_as_published() -> None:
    parts = (
        part("cocoa_butter", 25.57),
        part("sugar_granulated", 50.12),
        part("milk_powder_whole", 23.91),
        part("lecithin_soy", 0.40),
    )
    mix = as_weighed(Recipe("white", Form.BAR, parts))
    published = finished_chocolates()["CHECK_white"].composition
    assert mix.percent("fat") == pytest.approx(published["fat_g"], abs=0.3)
    assert mix.percent("sugars") == pytest.approx(published["sugars_g"], abs=0.3)
    assert mix.percent("protein") == pytest.approx(published["protein_g"], abs=0.5)
    assert mix.percent("saturates") == pytest.approx(published["sfa_g"], abs=0.2)
    assert mix.percent("sodium") == pytest.approx(published["sodium_mg"], abs=2.0)
