"""A limit measures what the document shows: every figure, on every basis, by the same key."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from nibsmith.answers.balance import wishes_from
from nibsmith.answers.balance.limits import limits_of
from nibsmith.answers.context import Context
from nibsmith.answers.figure_keys import PROPERTY_OF
from nibsmith.answers.report import figures_of
from nibsmith.science.errors import InputError
from nibsmith.science.kit import kit
from nibsmith.science.mixture import Form, Mixture, Recipe, as_weighed, finished, in_machine, part, product

STONE = Context(kit=kit("stone"))
END_PERCENT = STONE.end_water_percent
DAMP = Recipe(
    "damp",
    Form.BAR,
    (
        part("cocoa_nibs_raw", 480.0),  # 6 % of water: some of it leaves
        part("cocoa_butter", 120.0),
        part("sugar_granulated", 260.0),
        part("milk_powder_whole", 90.0),
        part("lecithin_soy", 4.0),
        part("almond_dry_roasted", 130.0),
    ),
)
DRY = Recipe(
    "dry", Form.BAR, (part("cocoa_mass", 20.0), part("cocoa_butter", 30.0), part("sugar_granulated", 50.0))
)
SHOWN: dict[str, Callable[[Recipe], Mixture]] = {
    "machine": in_machine,
    "as_weighed": as_weighed,
    "finished": lambda recipe: finished(recipe, END_PERCENT),
    "product": lambda recipe: product(recipe, END_PERCENT),
}


@pytest.mark.parametrize("basis", SHOWN)
@pytest.mark.parametrize("recipe", [DAMP, DRY], ids=["damp", "dry"])
def test_a_limit_measures_what_the_document_shows(recipe: Recipe, basis: str) -> None:
    shown = figures_of(SHOWN[basis](recipe))
    masses_g = {each.label: each.mass_g for each in recipe.parts}
    measured = 0
    for key, figure in shown.items():
        if figure is None:
            continue
        (limit,) = limits_of(recipe, wishes_from({key: {"max": 1000, "basis": basis}}), STONE)
        assert 100 * limit.value(masses_g) == pytest.approx(figure, rel=1e-9, abs=1e-12), key
        measured += 1
    assert measured > len(shown) / 2


def test_every_figure_of_the_document_can_be_limited() -> None:
    assert figures_of(in_machine(DAMP)).keys() == PROPERTY_OF.keys()


def test_kilojoules_have_one_key() -> None:
    (wish,) = wishes_from({"energy_eu_kj_per_100g": {"max": 2200}}).properties
    assert wish.key == "energy_eu_kj"
    with pytest.raises(InputError) as refused:
        wishes_from({"energy_eu_kj_kj_per_100g": {"max": 2200}})
    assert "energy_eu_kj_per_100g" in str(refused.value)
