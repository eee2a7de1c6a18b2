"""The closing check of an analysis, and a fat that varies."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.mixture import (
    COLUMNS,
    Form,
    Kind,
    Recipe,
    as_weighed,
    at_fat,
    check_composition,
    finished_chocolates,
    ingredient,
    ingredients,
    own_ingredient,
    part,
)
from nibsmith.science.mixture.composition import CLOSING_SLACK_G, PROXIMATE
from nibsmith.science.tables import Status, load_rows

FULL = {"water_g": 2.0, "protein_g": 10.0, "fat_g": 50.0, "carb_g": 35.0, "ash_g": 3.0}


@pytest.mark.parametrize("off", [-0.6, -0.3, 0.0, 0.3, 0.6])
def test_a_full_analysis_within_0_6_of_100_is_taken(off: float) -> None:
    check_composition("mass", {**FULL, "carb_g": 35.0 + off})


@pytest.mark.parametrize("off", [-0.61, -5.0, 0.61, 20.0])
def test_a_full_analysis_that_does_not_close_is_refused(off: float) -> None:
    with pytest.raises(InputError, match="100 g"):
        check_composition("mass", {**FULL, "carb_g": 35.0 + off})


def test_an_incomplete_analysis_is_refused_only_over_100() -> None:
    check_composition("mass", {"water_g": 1.5, "fat_g": 54.0})
    with pytest.raises(InputError, match=r"more than 100 g \(got .*, limit 100\.6 g\)"):
        check_composition("mass", {"water_g": 40.0, "fat_g": 61.0})


def test_a_listed_exception_need_not_close() -> None:
    check_composition("black pepper", {**FULL, "carb_g": 29.0}, must_close=False)


def test_alcohol_counts_in_the_sum() -> None:
    check_composition("extract", {**FULL, "carb_g": 5.0, "alcohol_g": 30.0})


@pytest.mark.parametrize(
    "wrong",
    [
        {"fat": 50.0},
        {"fat_g": -1.0},
        {"fat_g": float("nan")},
        {"fat_g": float("inf")},
        {"fat_g": 101.0},
        {"carb_g": 10.0, "sugars_g": 12.0},
        {"fat_g": 10.0, "sfa_g": 11.0},
        {"sodium_mg": 200_000.0},
    ],
)
def test_what_cannot_be_true_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(InputError):
        check_composition("thing", wrong)


def test_every_packaged_row_names_its_source_and_status() -> None:
    for row in load_rows("ingredients.csv"):
        status = Status(row["status"])
        assert row["name"], row["key"]
        assert row["source"] or status is Status.MEMORY, row["key"]
        assert set(row) >= set(COLUMNS) - {"cocoa_butter_g", "cocoa_fat_free_dry_g"}


def test_full_packaged_analyses_close_but_for_the_two_listed() -> None:
    open_rows = set()
    for row in load_rows("ingredients.csv"):
        if all(row[column] for column in PROXIMATE):
            total = sum(float(row[column] or 0) for column in (*PROXIMATE, "alcohol_g"))
            if abs(total - 100) > CLOSING_SLACK_G:
                open_rows.add(row["key"])
    assert open_rows == {"pepper_black"}


def test_published_chocolates_are_not_offered_as_ingredients() -> None:
    assert not any(key.startswith("CHECK") for key in ingredients())
    assert len(finished_chocolates()) == 8


def test_an_unknown_key_offers_near_ones_and_puts_none_in_its_place() -> None:
    with pytest.raises(UnknownIngredient) as refusal:
        ingredient("coca_butter")
    assert "cocoa_butter" in refusal.value.near


def test_what_a_sheet_does_not_give_stays_unknown() -> None:
    mine = own_ingredient("House mass", Kind.MASS, {"water_g": 1.5, "fat_g": 54.0})
    assert "protein_g" not in mine.composition


@given(st.floats(min_value=40.0, max_value=65.0))
def test_another_fat_keeps_the_water_and_the_sum(fat_g: float) -> None:
    nibs = ingredient("cocoa_nibs_roasted")
    other = at_fat(nibs, fat_g)
    total = sum(other.composition[column] for column in PROXIMATE)
    assert other.composition["water_g"] == nibs.composition["water_g"]
    assert total == pytest.approx(sum(nibs.composition[column] for column in PROXIMATE), abs=0.01)


def test_a_fat_that_leaves_no_room_is_refused() -> None:
    with pytest.raises(InputError):
        at_fat(ingredient("cocoa_nibs_roasted"), 99.0)


def test_every_starch_has_a_status_and_one_that_was_worked_out_has_no_room() -> None:
    """What the source does not print is none where carbohydrate leaves no room, or in crystallised sugar."""
    rows = load_rows("ingredients.csv")
    assert all(bool(row["starch_g"]) is bool(row["starch_status"]) for row in rows)
    by_status = {status: [row for row in rows if row["starch_status"] == status] for status in Status}
    worked_out = {row["key"]: row for row in by_status[Status.DERIVED] if row["source"] == "usda-sr28"}
    assert {"cocoa_butter", "milk_powder_whole", "butteroil"} <= worked_out.keys()
    for row in worked_out.values():
        room = float(row["carb_g"]) - float(row["sugars_g"]) - float(row["fibre_g"])
        assert float(row["starch_g"]) <= max(0.0, room) + 1e-9, row["key"]
    judged = {row["key"] for row in by_status[Status.JUDGEMENT] if row["kind"] == Kind.SUGAR}
    assert judged == {"sugar_granulated", "sugar_brown", "sugar_turbinado"}


def test_butter_milk_powder_and_sugar_leave_the_starch_known() -> None:
    keys = ("cocoa_butter", "sugar_granulated", "milk_powder_whole", "shea_stearin", "butteroil")
    white = Recipe("white", Form.BAR, tuple(part(key, 20.0) for key in keys))
    assert as_weighed(white).percent("starch") == 0.0
    dark = Recipe("dark", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    assert as_weighed(dark).unknown()["starch"] == ("Cocoa mass",)
