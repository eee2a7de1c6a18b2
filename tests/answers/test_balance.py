"""Balance to a maker's wishes: the table of limits, the sentences, the remedy."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from balance_problems import recipe_of
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.balance import (
    Balanced,
    Between,
    Wishes,
    balance,
    cost_per_kg,
    keeps_all,
    limits_of,
    wishes_from,
)
from nibsmith.answers.context import Context
from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.formulate import Objective
from nibsmith.science.kit import kit
from nibsmith.science.legal import judge_name
from nibsmith.science.mixture import Basis, Form, Recipe, finished, in_machine, part, product

MILK = Recipe(
    "house milk",
    Form.BAR,
    (
        part("cocoa_nibs_roasted", 300.0, price_per_kg=Decimal(14)),
        part("cocoa_butter", 150.0, price_per_kg=Decimal(18)),
        part("milk_powder_whole", 150.0, price_per_kg=Decimal(9)),
        part("sugar_granulated", 397.0, price_per_kg=Decimal("1.5")),
        part("lecithin_soy", 3.0, price_per_kg=Decimal(12)),
    ),
)
STONE = Context(kit=kit("stone"))


def to(table: dict[str, object], recipe: Recipe = MILK, context: Context = STONE) -> Balanced:
    return balance(recipe, wishes_from(table), context)


@pytest.mark.parametrize(
    "table",
    [
        {"total_fat_percent": {"min": 36, "max": 38}},
        {"total_fat_percent": 34, "lock": ["lecithin_soy"]},
        {"share": {"sugar_granulated": {"max": 35}}, "cocoa_as_weighed_percent": {"min": 47}},
        {"called": ["eu:milk"], "share": {"cocoa_nibs_roasted": {"max": 10}}},
        {"total": "1.5 kg", "mass": {"cocoa_butter": {"max": "200 g"}}},
        {"total": "free", "mass": {"cocoa_nibs_roasted": 330}, "lock": ["sugar_granulated"]},
        {"cost_per_kg": {"max": 8}},
        {"theobromine_mg_per_100g": {"min": 450}},
        {"energy_eu_kcal_per_100g": {"max": 550}},
    ],
)
def test_the_remedy_makes_every_wish_true_and_half_of_it_does_not(table: dict[str, object]) -> None:
    wishes = wishes_from(table)
    assert not keeps_all(MILK, wishes, STONE) or "total" in table
    balanced = balance(MILK, wishes, STONE)

    assert balanced.possible
    assert all(held.kept for held in balanced.held)
    remedy = balanced.remedy
    assert remedy is not None
    assert remedy.checked
    assert keeps_all(apply_remedy(MILK, remedy), wishes, STONE)
    if table.get("total") in {None, "free"}:
        assert not keeps_all(apply_remedy(MILK, remedy, 0.5), wishes, STONE)


def test_a_balanced_recipe_may_be_called_what_was_asked() -> None:
    low = recipe_of(
        {
            "cocoa_nibs_roasted": 100.0,
            "cocoa_butter": 100.0,
            "milk_powder_whole": 300.0,
            "sugar_granulated": 500.0,
        }
    )
    assert judge_name(low, "eu", "milk").allowed.value != "yes"
    balanced = to({"called": ["eu:milk"]}, low)

    assert balanced.recipe is not None
    assert (
        judge_name(balanced.recipe, "eu", "milk", end_water_percent=STONE.end_water_percent).allowed.value
        == "yes"
    )
    assert balanced.remarks == ()


def test_a_name_that_amounts_alone_do_not_earn_is_remarked() -> None:
    dark = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0})
    balanced = to({"called": ["eu:filled"]}, dark)

    assert any("not by amounts alone" in remark for remark in balanced.remarks)


def test_an_offered_ingredient_comes_in_only_where_it_helps() -> None:
    dark = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0})
    needed = to(
        {"offer": ["cocoa_butter", "honey"], "cocoa_butter_percent": {"min": 45}, "lock": ["cocoa_mass"]},
        dark,
    )
    idle = to({"offer": ["cocoa_butter"], "total_fat_percent": {"min": 20}}, dark)

    assert needed.recipe is not None
    assert [each.label for each in needed.recipe.parts] == ["cocoa_mass", "sugar_granulated", "cocoa_butter"]
    assert [change.new for change in needed.changes] == [False, True]
    assert needed.remedy is not None
    assert "cocoa_butter" in [each.label for each in apply_remedy(dark, needed.remedy).parts]
    assert idle.recipe == dark
    assert idle.sentence == "Nothing has to change: the recipe keeps every limit."


def test_the_cheapest_is_cheaper_and_keeps_its_limits() -> None:
    table = {"called": ["eu:milk"], "share": {"sugar_granulated": {"max": 42}}}
    near, cheap = to(table), to({**table, "objective": "cheapest"})

    assert cheap.cost_after is not None
    assert near.cost_after is not None
    assert cheap.cost_after < near.cost_after <= (near.cost_before or 0) + 1e-9
    assert cheap.sentence.startswith("The cheapest")


@pytest.mark.parametrize("table", [{"cost_per_kg": {"max": 5}}, {"objective": "cheapest"}])
def test_a_price_that_is_missing_is_said_with_the_place_to_type_it(table: dict[str, object]) -> None:
    priced = part("cocoa_butter", 100.0, price_per_kg=Decimal(18))
    twice = part("sugar_granulated", 50.0, label="second sugar")
    dark = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0})
    dark = replace(dark, parts=(*dark.parts, priced, twice))
    balanced = to(table, dark)

    assert not balanced.possible
    assert balanced.sentence == (
        "The cost cannot be told: no price is given for Cocoa mass, Granulated sugar. "
        "Type what a kilogram costs, at the part or at the ingredient."
    )
    assert balanced.unknown
    assert cost_per_kg(dark) is None


def test_what_may_come_in_needs_its_price_too() -> None:
    balanced = to({"cost_per_kg": {"max": 5}, "offer": ["hazelnut"]})

    assert "no price is given for Hazelnuts" in balanced.sentence


def test_a_figure_that_is_missing_is_said() -> None:
    raw = recipe_of({"cocoa_mass": 700.0, "sugar_turbinado": 300.0})

    assert "fibre cannot be told" in to({"fibre_percent": {"min": 10}}, raw).unknown


def test_limits_in_each_others_way_are_named_with_how_far_each_must_give() -> None:
    balanced = to(
        {
            "total_fat_percent": {"min": 50},
            "share": {"cocoa_butter": {"max": 15}, "cocoa_nibs_roasted": {"max": 30}},
        }
    )

    assert not balanced.possible
    assert balanced.recipe is None
    assert balanced.sentence.startswith("These cannot all hold: ")
    assert "total fat without emulsifier at least 50" in balanced.sentence
    assert "(your limit)" in balanced.sentence
    assert balanced.impossible is not None
    assert len(balanced.gives) == len(balanced.impossible.clashes)
    assert all("must give" in words for words in balanced.gives)


def test_the_bound_said_to_work_does_work() -> None:
    """What is printed is rounded to the side that still works."""
    table = {
        "total_fat_percent": {"min": 50},
        "share": {"cocoa_butter": {"max": 15}, "cocoa_nibs_roasted": {"max": 30}},
    }
    said = next(words for words in to(table).gives if words.startswith("Total fat"))
    works = float(said.split("at least ")[1].split("\u00a0")[0])

    assert to({**table, "total_fat_percent": {"min": works}}).possible
    assert not to({**table, "total_fat_percent": {"min": works + 0.02}}).possible


def test_one_limit_alone_that_cannot_be_is_said_alone() -> None:
    assert to({"cocoa_as_weighed_percent": {"min": 120}}).sentence.startswith("This cannot be: ")


def test_a_free_total_stays_within_the_machine() -> None:
    balanced = to(
        {
            "total": "free",
            "mass": {"cocoa_nibs_roasted": {"min": "1 kg"}},
            "lock": ["sugar_granulated", "cocoa_butter", "milk_powder_whole"],
        }
    )

    assert not balanced.possible
    assert "the stone grinder holds no more" in balanced.sentence


def test_a_total_between_bounds_is_met() -> None:
    balanced = to({"total": {"min": "1.2 kg", "max": 1300}})

    assert balanced.recipe is not None
    assert balanced.recipe.total_g == pytest.approx(1200.0)


@pytest.mark.parametrize("basis", list(Basis))
def test_a_wish_holds_on_the_basis_it_names(basis: Basis) -> None:
    recipe = recipe_of(
        {"cocoa_nibs_raw": 600.0, "cocoa_butter": 50.0, "sugar_granulated": 250.0, "almond": 100.0}
    )
    balanced = to({"total_fat_percent": {"min": 45, "basis": basis.value}}, recipe)
    end = STONE.end_water_percent
    reached = {
        Basis.AS_WEIGHED: lambda after: product(after).percent("total_fat"),
        Basis.MACHINE: lambda after: in_machine(after).percent("total_fat"),
        Basis.FINISHED: lambda after: finished(after, end).percent("total_fat"),
        Basis.PRODUCT: lambda after: product(after, end).percent("total_fat"),
    }

    assert balanced.recipe is not None
    assert reached[basis](balanced.recipe) == pytest.approx(45.0, abs=1e-7)


def test_the_amounts_on_the_scale_keep_the_limits() -> None:
    balanced = to({"total_fat_percent": {"min": 36.04, "max": 38}})

    assert balanced.on_scale is not None
    assert balanced.missed_on_scale == ()
    assert all(mass == mass.to_integral_value() for mass in balanced.on_scale.masses_g.values())
    limits = limits_of(MILK, wishes_from({"total_fat_percent": {"min": 36.04, "max": 38}}), STONE)
    assert all(limit.gap(balanced.on_scale.floats_g) == 0 for limit in limits)


def test_a_scale_too_coarse_for_the_batch_is_said() -> None:
    balanced = to({"total_fat_percent": {"min": 36.04, "max": 36.1}}, MILK.scaled(20.0))

    assert balanced.missed_on_scale != ()


def test_what_is_said_is_what_the_scale_shows() -> None:
    """0.31 % of 1,000 g is 3.1 g; on a scale of 1 g that is 4 g, and the remedy weighs 4 g."""
    balanced = to({"share": {"lecithin_soy": {"min": 0.31}}})

    assert "1\u00a0g more soya lecithin" in balanced.sentence
    assert balanced.weigh_g["lecithin_soy"] == 4.0
    assert balanced.remedy is not None
    assert apply_remedy(MILK, balanced.remedy).part("lecithin_soy").mass_g == 4.0


def test_a_table_of_wishes_is_read_whole() -> None:
    wishes = wishes_from(
        {
            "total_fat_percent": {"min": 32, "max": Decimal("36.5"), "basis": "product"},
            "caffeine_mg_per_100g": {"target": 40},
            "share": {"sugar_granulated": {"max": 35}},
            "mass": {"cocoa_butter": {"max": "0.2 kg"}},
            "lock": ["cocoa_nibs_roasted"],
            "cost_per_kg": 14,
            "called": ["eu:milk", "us:milk"],
            "objective": "cheapest",
            "total": "2 kg",
            "offer": ["cocoa_mass"],
        }
    )

    assert wishes.properties[0].between == Between(32.0, 36.5)
    assert wishes.properties[0].basis is Basis.PRODUCT
    assert wishes.properties[1].between == Between(40.0, 40.0)
    assert wishes.shares == {"sugar_granulated": Between(None, 35.0)}
    assert wishes.masses_g == {"cocoa_butter": Between(None, 200.0)}
    assert (wishes.cost_per_kg, wishes.total_g) == (Between(14.0, 14.0), Between(2000.0, 2000.0))
    assert wishes.objective is Objective.CHEAPEST
    assert wishes.called == (("eu", "milk"), ("us", "milk"))
    assert wishes_from({}) == Wishes()


@pytest.mark.parametrize(
    ("table", "field", "near"),
    [
        ({"total_fat": 32}, "limits.total_fat", "total_fat_percent"),
        ({"total_fat_percent": {"minimum": 32}}, "limits.total_fat_percent.minimum", "min"),
        ({"total_fat_percent": {"min": 32, "basis": "bar"}}, "limits.total_fat_percent.basis", "machine"),
        ({"total_fat_percent": "32"}, "limits.total_fat_percent", "digits"),
        ({"total_fat_percent": True}, "limits.total_fat_percent", "digits"),
        ({"total_fat_percent": -1}, "limits.total_fat_percent", ""),
        ({"total_fat_percent": float("nan")}, "limits.total_fat_percent", ""),
        ({"total_fat_percent": {}}, "limits.total_fat_percent", ""),
        ({"total_fat_percent": {"target": 3, "max": 4}}, "limits.total_fat_percent", ""),
        ({"total_fat_percent": {"min": 36, "max": 32}}, "limits.total_fat_percent", ""),
        ({"share": 35}, "limits.share", "sugar_granulated"),
        ({"share": {"sugar_granulated": {"most": 35}}}, "limits.share.sugar_granulated.most", "max"),
        ({"lock": "cocoa_nibs_roasted"}, "limits.lock", ""),
        ({"called": ["milk"]}, "limits.called", "eu:milk"),
        ({"called": ["eur:milk"]}, "limits.called", "eu"),
        ({"called": ["eu:milky"]}, "limits.called", "milk"),
        ({"objective": "cheap"}, "limits.objective", "cheapest"),
    ],
)
def test_a_fault_in_the_table_is_named_where_it_stands(
    table: dict[str, object], field: str, near: str
) -> None:
    with pytest.raises(InputError) as refused:
        wishes_from(table)

    assert refused.value.field == field
    assert near in (refused.value.advice or "")


def test_wishes_on_parts_that_are_not_there_are_refused() -> None:
    with pytest.raises(InputError, match="No part has this label"):
        to({"lock": ["honey"]})
    with pytest.raises(UnknownIngredient):
        to({"offer": ["unobtainium"]})
