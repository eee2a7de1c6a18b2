"""Kits: what is common practice of them, and what is a judgement of ours."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest

from nibsmith.science.kit import Kit, kit, kits
from nibsmith.science.tables import Status

# What the practice of the trade tells of each kit; of a stone grinder also how much stays behind, but as a
# range from 100 to 300 g, without a usual amount.
TOLD = {
    "mortar": {"charge_min_g", "charge_max_g", "size_um", "hours", "warm_celsius"},
    "blender": {"charge_min_g", "charge_max_g", "size_um", "ceiling_celsius", "ceiling_milk_celsius"},
    "stick_blender": {"charge_min_g", "charge_max_g", "size_um", "ceiling_celsius", "ceiling_milk_celsius"},
    "hand_mill": {"size_um"},
    "stone": {"size_um", "hours", "end_water_percent", "warm_celsius"},
    "ball_mill": {"size_um", "hours"},
    "roll_refiner": {"size_um"},
}
FIGURES = {
    *("charge_min_g", "charge_max_g", "size_um", "hours", "residue_g", "end_water_percent"),
    *("ceiling_celsius", "ceiling_milk_celsius", "warm_celsius"),
}


@pytest.mark.parametrize("key", TOLD)
def test_a_figure_without_a_practice_behind_it_is_a_judgement(key: str) -> None:
    of = kit(key)
    given = {figure for figure in FIGURES if getattr(of, figure) is not None}

    assert {figure for figure in given if of.status_of(figure) is Status.COMMON_PRACTICE} == TOLD[key]
    assert {of.status_of(figure) for figure in given - TOLD[key]} == {Status.JUDGEMENT}


def test_what_is_judged_is_a_figure_of_a_kit() -> None:
    names = {field.name for field in fields(Kit)}

    assert kits().keys() == TOLD.keys()
    assert all(of.judged <= names for of in kits().values())


def test_a_makers_own_figures_are_theirs() -> None:
    own = replace(kit("stone"), status=Status.OWN_CALIBRATION)

    assert own.status_of("residue_g") is Status.OWN_CALIBRATION
