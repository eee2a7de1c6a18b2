"""Balance to a maker's wishes: the table of limits, the sentences, the remedy."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from balance_problems import recipe_of
from nibsmith.answers.answer import Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.balance import (
    Balanced,
    Between,
    Wishes,
    balance,
    keeps_all,
    limits_of,
    wishes_from,
)
from nibsmith.answers.balance.names import asked_names
from nibsmith.answers.context import Context
from nibsmith.answers.cost import cost, cost_per_kg
from nibsmith.answers.pour import pour
from nibsmith.answers.process import Process
from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.flow import Use
from nibsmith.science.formulate import Objective
from nibsmith.science.kit import kit
from nibsmith.science.legal import judge_name
from nibsmith.science.mixture import (
    Basis,
    Form,
    Kind,
    Recipe,
    finished,
    in_machine,
    own_ingredient,
    part,
    product,
)

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
    assert judge_name(balanced.recipe, "eu", "milk", end_water_percent=STONE.end_water).allowed.value == "yes"
    assert balanced.remarks == ()


def test_a_name_that_amounts_alone_do_not_earn_is_no_balance() -> None:
    dark = recipe_of({"cocoa_mass": 700.0, "sugar_granulated": 300.0})
    balanced = to({"called": ["eu:filled"]}, dark)

    assert not balanced.possible
    assert (balanced.verdict, balanced.word) == (Verdict.STOP, "Not by amounts alone.")
    assert balanced.unmet == ("EU, Filled chocolate: sold as a bar, it does not go by this name.",)
    assert balanced.sentence.startswith(balanced.unmet[0])
    assert "keeps every limit" not in balanced.sentence


def test_the_remedy_of_a_name_that_amounts_do_not_earn_is_not_called_sure() -> None:
    balanced = to({"called": ["eu:filled"], "share": {"sugar_granulated": {"max": 35}}})

    assert balanced.unmet
    assert balanced.remedy is not None
    assert not balanced.remedy.checked


def test_a_name_that_is_not_certain_gives_the_reason_that_the_recipe_gives() -> None:
    verdict = judge_name(MILK, "ch", "milk", end_water_percent=STONE.end_water_percent)
    balanced = to({"called": ["ch:milk"]})

    assert verdict.allowed.value == "unknown"
    assert (balanced.verdict, balanced.word) == (Verdict.WATCH, "Not for certain.")
    assert verdict.depends_on
    assert balanced.doubts == (f"Switzerland, Milk chocolate: {verdict.depends_on}.",)
    assert balanced.doubts[0] in balanced.sentence


def test_a_name_that_depends_says_on_what() -> None:
    dark = recipe_of({"cocoa_nibs_roasted": 300.0, "cocoa_butter": 150.0, "sugar_granulated": 550.0})
    verdict = judge_name(dark, "eu", "chocolate")
    asked = asked_names(dark, wishes_from({"called": ["eu:chocolate"]}), Context())

    assert verdict.allowed.value == "depends"
    assert asked.refused == ()
    assert asked.doubtful[0].endswith(f"; it depends: {verdict.depends_on}.")


NIBS = part("cocoa_nibs_roasted", 700.0, price_per_kg=Decimal(800))
SUGAR = part("sugar_granulated", 300.0, price_per_kg=Decimal(200))
OWN_BEANS = Recipe("two", Form.BAR, (NIBS, SUGAR))
LIQUOR = Recipe("liquor", Form.BAR, (NIBS, part("cocoa_butter", 50.0, price_per_kg=Decimal(2000))))
NESTED = Recipe(
    "nested", Form.BAR, (part(LIQUOR, 600.0), SUGAR, part("almond", 100.0, price_per_kg=Decimal(1500)))
)


@pytest.mark.parametrize("recipe", [OWN_BEANS, NESTED, MILK])
@pytest.mark.parametrize("bean_yield", [None, Decimal("0.8")])
@pytest.mark.parametrize("key", ["", "stone", "blender"])
def test_a_kilogram_costs_what_the_answer_on_the_cost_says(
    recipe: Recipe, bean_yield: Decimal | None, key: str
) -> None:
    context = Context(kit=kit(key) if key else None, bean_yield=bean_yield, currency="JPY")
    answer = cost(recipe, context)
    balanced = to({"total_fat_percent": {"min": 1}}, recipe, context)

    assert balanced.cost_before is not None
    assert float(balanced.cost_before.rounded) == answer.figure
    assert str(balanced.cost_before) in answer.sentence
    assert balanced.cost_of == answer.basis
    assert balanced.cost_of in answer.sentence


@pytest.mark.parametrize("recipe", [OWN_BEANS, NESTED, MILK])
@pytest.mark.parametrize("key", ["", "stone"])
@pytest.mark.parametrize("total", ["keep", "1.5 kg", "free"])
def test_a_limit_on_the_cost_is_on_the_cost_that_is_told(recipe: Recipe, key: str, total: str) -> None:
    context = Context(kit=kit(key) if key else None, bean_yield=Decimal("0.8"), scale_g=Decimal("0.001"))
    now = cost(recipe, context).figure or 0.0
    most = round(now * 0.9, 2)
    balanced = to({"cost_per_kg": {"max": most}, "total": total}, recipe, context)

    assert balanced.recipe is not None
    assert balanced.changes
    assert all(held.kept for held in balanced.held)
    after = cost(balanced.recipe, context).figure or 0.0
    # Half a cent of rounding beside the bound itself; what makes a batch larger may be cheaper than asked.
    assert after <= most + 0.006
    assert after == pytest.approx(most, abs=0.006) or total == "1.5 kg"
    assert balanced.cost_after is not None
    assert float(balanced.cost_after.rounded) == after
    of = "what comes out" if key else "what is weighed"
    assert f"the cost of {of} at most {most:.2f}\u00a0EUR/kg" in [held.words for held in balanced.held]


def test_a_loss_of_the_makers_own_counts_without_a_kit() -> None:
    """A twentieth is lost and 200 g stay, so 750 g come out of 1 kg."""
    context = Context(kept_back_g=200.0, lost_percent=5.0, currency="JPY")
    balanced = to({"cost_per_kg": {"max": 800}}, OWN_BEANS, context)

    # 0.7 x 800 + 0.3 x 200 = 620 for a kilogram weighed, of which 750 g come out
    assert str(balanced.cost_before).replace("\u00a0", " ") == "827 JPY"
    assert str(balanced.cost_after).replace("\u00a0", " ") == "800 JPY"
    assert balanced.cost_of == "what comes out"


def test_the_cheapest_reckons_nibs_at_the_price_of_beans_over_the_yield() -> None:
    """Bought nibs at 900 are dearer than own ones at 800, but not where 100 g of beans leave 80 g of nibs."""
    bought = part("cocoa_mass", 100.0, price_per_kg=Decimal(900))
    recipe = replace(OWN_BEANS, parts=(*OWN_BEANS.parts, bought))
    table = {"objective": "cheapest", "cocoa_as_weighed_percent": {"min": 60}}
    own, yielding = (
        to(table, recipe, Context(bean_yield=bean_yield)).recipe for bean_yield in (None, Decimal("0.8"))
    )

    assert own is not None
    assert yielding is not None
    assert (own.part("cocoa_mass").mass_g, yielding.part("cocoa_nibs_roasted").mass_g) == (0.0, 0.0)
    assert yielding.part("cocoa_mass").price_per_kg == Decimal(900)
    assert own.part("cocoa_nibs_roasted").price_per_kg == Decimal(800)


def test_a_price_that_a_recipe_inside_lacks_is_named() -> None:
    inside = replace(LIQUOR, parts=(NIBS, part("cocoa_butter", 50.0)))
    recipe = replace(NESTED, parts=(part(inside, 600.0), SUGAR))

    assert "no price is given for cocoa butter" in to({"cost_per_kg": {"max": 5}}, recipe).sentence


def test_a_cost_that_cannot_be_says_the_one_that_can() -> None:
    context = Context(kit=kit("stone"), currency="JPY")
    balanced = to({"cost_per_kg": {"max": 100}}, OWN_BEANS, context)

    assert not balanced.possible
    works = re.search(r"at most (\d+)\u00a0JPY/kg instead of 100\u00a0JPY/kg", balanced.gives[0])
    assert works
    assert to({"cost_per_kg": {"max": int(works[1])}}, OWN_BEANS, context).possible
    assert not to({"cost_per_kg": {"max": int(works[1]) - 1}}, OWN_BEANS, context).possible


@pytest.mark.parametrize("table", [{}, {"cost_per_kg": {"max": 9}}, {"total": "2 kg"}, {"offer": ["almond"]}])
def test_the_cheapest_of_anything_is_refused(table: dict[str, object]) -> None:
    with pytest.raises(InputError, match="Without a limit the cheapest is one ingredient alone"):
        to({"objective": "cheapest", **table})


def test_what_nothing_in_the_recipe_brings_is_said_so() -> None:
    balanced = to({"called": ["eu:milk"]}, OWN_BEANS)

    assert balanced.advice == "Each of these has to be settled:"
    assert len(balanced.gives) == 2
    assert all("nothing in the recipe brings any" in line for line in balanced.gives)


def test_of_what_nothing_brings_no_limit_can_give() -> None:
    balanced = to({"milk_solids_percent": {"min": 5}}, OWN_BEANS)

    assert balanced.advice == "Drop it, or bring it in:"
    assert ["nothing in the recipe brings any" in line for line in balanced.gives] == [True]


def test_the_line_over_what_must_give_is_true_of_every_line_under_it() -> None:
    one = to(
        {
            "total_fat_percent": {"min": 50},
            "share": {"cocoa_butter": {"max": 15}, "cocoa_nibs_roasted": {"max": 30}},
        }
    )
    two = to(
        {
            "total_fat_percent": {"min": 50},
            "share": {"cocoa_butter": {"max": 10}, "sugar_granulated": {"min": 70}},
            "mass": {"lecithin_soy": {"min": "2 kg"}},
        }
    )

    assert one.advice == "Drop any one of these, or let it give so far:"
    assert not any("does not settle" in line for line in one.gives)
    assert two.impossible is not None
    assert len(two.impossible.conflicts) > 1
    assert "any one" not in two.advice


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
    assert near.cost_before is not None
    assert cheap.cost_after.amount < near.cost_after.amount <= near.cost_before.amount
    assert cheap.sentence.startswith("The cheapest of what is weighed: ")


@pytest.mark.parametrize(
    "table",
    [{"cost_per_kg": {"max": 5}}, {"objective": "cheapest", "share": {"sugar_granulated": {"max": 40}}}],
)
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
    assert cost_per_kg(dark, STONE) is None


def test_what_may_come_in_needs_its_price_too() -> None:
    balanced = to({"cost_per_kg": {"max": 5}, "offer": ["hazelnut"]})

    assert "no price is given for Hazelnuts" in balanced.sentence


def test_a_figure_that_is_missing_is_said() -> None:
    raw = recipe_of({"cocoa_mass": 700.0, "sugar_turbinado": 300.0})

    assert "Fibre cannot be told" in to({"fibre_percent": {"min": 10}}, raw).unknown


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


THICK = recipe_of({"cocoa_nibs_roasted": 550.0, "cocoa_butter": 5.0, "sugar_granulated": 445.0})


@pytest.mark.parametrize(
    "table",
    [
        {"pours": True},
        {"pours": "thin_shells"},
        {"pours": True, "lock": ["sugar_granulated"], "total": "free"},
        {"pours": True, "share": {"cocoa_butter": {"max": 3}}},
    ],
)
def test_what_must_pour_pours_by_the_answer_itself_and_half_of_the_change_does_not(
    table: dict[str, object],
) -> None:
    wishes = wishes_from(table)
    use = None if table["pours"] is True else Use(table["pours"])
    context = STONE if use is None else replace(STONE, process=Process(use=use))
    balanced = balance(THICK, wishes, STONE)

    assert pour(THICK, context).verdict is not Verdict.GOOD
    assert (balanced.verdict, balanced.word) == (Verdict.GOOD, "Balanced.")
    assert balanced.recipe is not None
    weighed = balanced.recipe.weighing(balanced.weigh_g)
    assert pour(weighed, context).verdict is Verdict.GOOD
    held = balanced.held[-1]
    assert held.kept
    assert held.words.startswith("thin enough")
    assert balanced.remedy is not None
    assert balanced.remedy.checked
    assert pour(apply_remedy(THICK, balanced.remedy, 0.5), context).verdict is not Verdict.GOOD


def test_what_cannot_pour_within_its_limits_says_which_stand_in_the_way() -> None:
    balanced = to({"pours": True, "total_fat_percent": {"max": 32}}, THICK)

    assert not balanced.possible
    assert "liquid fat by volume at least" in balanced.sentence
    assert "by estimate" in balanced.sentence
    assert "total fat without emulsifier at most 32" in balanced.sentence


def test_too_many_pieces_are_not_poured_away_by_fat() -> None:
    """Fat makes no room for pieces: the answer says that there are too many, and so does the balance."""
    mass = {"cocoa_nibs_roasted": 330.0, "cocoa_butter": 60.0, "sugar_granulated": 210.0}
    pieces = recipe_of({**mass, "almond": 400.0})
    balanced = to({"pours": True, "lock": ["almond"]}, pieces)

    assert pour(pieces, STONE).word == "Too many pieces."
    assert not balanced.possible
    assert balanced.word == "Not by amounts alone."
    assert balanced.unmet
    assert not balanced.held[-1].kept


def test_a_flow_that_cannot_be_told_is_said() -> None:
    unknown = part(own_ingredient("Paste", Kind.OTHER_FOOD, {"sugars_g": 20.0, "carb_g": 30.0}), 400.0)
    balanced = to({"pours": True}, replace(THICK, parts=(*THICK.parts, unknown)))

    assert balanced.verdict is Verdict.UNKNOWN
    assert "Paste" in balanced.unknown


def test_a_use_that_is_none_is_refused_with_those_there_are() -> None:
    with pytest.raises(InputError, match="bars, thin_shells, dipping, hand"):
        wishes_from({"pours": "frying"})
    assert wishes_from({"pours": False}) == Wishes()
    assert wishes_from({"pours": "thin-shells"}).pours_for is Use.THIN_SHELLS


def test_a_flow_that_cannot_be_told_is_neither_kept_nor_missed() -> None:
    balanced = to({"pours": True}, Recipe("only", Form.BAR, (part("cocoa_butter", 500.0),)))

    assert balanced.verdict is Verdict.WATCH
    assert "Unknown, because" in balanced.sentence
    assert balanced.held == ()
