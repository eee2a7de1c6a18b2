"""Heat capacities of food constituents against CoolProp 8.0, which carries the same correlations.

CoolProp 8.0.0, fluids INCOMP::FoodProtein, FoodFat, FoodCarbohydrate, FoodFiber, FoodAsh, FoodWater at 101
325 Pa, values as it printed them on 2026-11-25, J/(kg K) at 0, 5, 20 and 40 °C. Its water begins with
4128.9, which is 1 % under water's own heat capacity (4184 J/(kg K) at 20 °C, IAPWS); the table here begins
with 4176.2, so water differs by 47.3.
"""

from __future__ import annotations

import pytest

from nibsmith.science.mixture import Kind, own_ingredient
from nibsmith.science.temper import heat_capacity

COOLPROP = {
    "protein_g": {0: 2008.2, 5: 2014.21, 20: 2031.85, 40: 2054.46},
    "fat_g": {0: 1984.2, 5: 1991.45, 20: 2011.75, 40: 2035.45},
    "carb_g": {0: 1548.8, 5: 1558.46, 20: 1585.67, 40: 1617.8},
    "fibre_g": {0: 1845.9, 5: 1854.94, 20: 1880.65, 40: 1911.68},
    "ash_g": {0: 1092.6, 5: 1101.96, 20: 1128.92, 40: 1162.29},
    "water_g": {0: 4128.9, 5: 4128.58, 20: 4129.27, 40: 4134.02},
}
WATER_OFFSET = 47.3
PRINTED = 0.006  # half of the last printed digit


def pure(column: str, celsius: float) -> float:
    """Heat capacity of an ingredient that is one constituent alone."""
    composition = dict.fromkeys(("water_g", "protein_g", "fat_g", "carb_g", "ash_g"), 0.0)
    composition |= {"carb_g": 100.0, "fibre_g": 100.0} if column == "fibre_g" else {column: 100.0}
    return heat_capacity(own_ingredient("pure", Kind.OTHER_FOOD, composition), celsius)


@pytest.mark.parametrize("celsius", [0, 5, 20, 40])
@pytest.mark.parametrize("column", [column for column in COOLPROP if column != "water_g"])
def test_a_constituent_has_the_heat_capacity_of_coolprop(column: str, celsius: int) -> None:
    assert pure(column, celsius) == pytest.approx(COOLPROP[column][celsius], abs=PRINTED)


@pytest.mark.parametrize("celsius", [0, 5, 20, 40])
def test_water_is_that_of_coolprop_with_the_right_first_figure(celsius: int) -> None:
    assert pure("water_g", celsius) == pytest.approx(COOLPROP["water_g"][celsius] + WATER_OFFSET, abs=PRINTED)


def test_water_is_closer_to_its_own_heat_capacity_than_the_other_copy() -> None:
    iapws = 4184

    assert abs(pure("water_g", 20) - iapws) < abs(COOLPROP["water_g"][20] - iapws) / 5
