"""What it costs: exact, rounded once, and a lower bound where a price is missing."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.cost import cost
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import Form, Ingredient, Kind, Part, Recipe, ingredient, own_ingredient, part

BAR = Mould("Bar", 70.0, 3)


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


def priced(of: str | Ingredient, mass_g: float, price: str) -> Part:
    return part(of, mass_g, price_per_kg=Decimal(price))


def words(answer: Answer) -> str:
    return answer.sentence.replace("\u00a0", " ").replace("\u202f", " ")


DARK = recipe(priced("cocoa_mass", 700.0, "12"), priced("sugar_granulated", 300.0, "1.50"))


def test_the_batch_a_kilogram_and_a_bar_are_told() -> None:
    answer = cost(DARK, Context(mould=BAR))

    assert words(answer).startswith(
        "8.85 EUR a batch, 8.85 EUR a kilogram of what is weighed, 0.62 EUR a bar of 70 g."
    )
    assert (answer.figure, answer.unit) == (0.62, "EUR/bar")
    assert answer.verdict is Verdict.GOOD


def test_what_stays_on_the_machine_is_paid_by_the_bars() -> None:
    stone = replace(kit("stone"), end_water_percent=None)
    answer = cost(DARK, Context(kit=stone, mould=BAR))

    # 8.85 over what comes out of 1000 g, for 70 g: 150 g stay behind, at least 100 and at most 300 g.
    # 8.85 / 850 * 70 = 0.7288, 8.85 / 900 * 70 = 0.6883, 8.85 / 700 * 70 = 0.885
    assert (answer.low, answer.figure, answer.high) == (0.69, 0.73, 0.89)


def test_water_that_leaves_is_paid_too() -> None:
    wet = recipe(priced("cocoa_nibs_roasted", 1000.0, "10"))

    dry = cost(wet, Context(kit=replace(kit("stone"), residue_g=kit("mortar").residue_g)))
    as_charged = cost(wet, Context(kit=kit("mortar")))

    assert dry.figure > as_charged.figure  # type: ignore[operator]


def test_nibs_of_own_beans_cost_the_price_of_beans_over_the_yield() -> None:
    nibs = recipe(priced("cocoa_nibs_roasted", 1000.0, "7.80"))

    answer = cost(nibs, Context(bean_yield=Decimal("0.78")))

    assert answer.figure == 10.0
    assert any("a yield of 78 %" in reason.replace("\u00a0", " ") for reason in answer.reasons)


@pytest.mark.parametrize("kind", [Kind.BEAN, Kind.MASS])
def test_the_yield_is_for_nibs_alone(kind: Kind) -> None:
    other = recipe(part("cocoa_nibs_roasted", 1000.0, kind=kind, price_per_kg=Decimal("7.80")))

    assert cost(other, Context(bean_yield=Decimal("0.78"))).figure == 7.8


def test_nibs_bought_as_nibs_have_the_price_they_have() -> None:
    bought = replace(ingredient("cocoa_nibs_roasted"), tags=frozenset({"bought"}))

    assert cost(recipe(priced(bought, 1000.0, "7.80")), Context(bean_yield=Decimal("0.78"))).figure == 7.8


@pytest.mark.parametrize("bean_yield", ["0", "-0.5", "78"])
def test_a_yield_that_is_no_share_is_told(bean_yield: str) -> None:
    nibs = recipe(priced("cocoa_nibs_roasted", 1000.0, "7.80"))

    answer = cost(nibs, Context(bean_yield=Decimal(bean_yield)))

    assert answer.verdict is Verdict.UNKNOWN
    assert "share" in answer.sentence


def test_a_missing_price_is_unknown_with_a_lower_bound() -> None:
    answer = cost(recipe(*DARK.parts, part("almond", 100.0)), Context())

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.figure is None
    assert answer.high is None
    assert (
        words(answer)
        == "No price is given for almonds. What is priced comes to 8.85 EUR a batch: a lower bound."
    )
    assert answer.low == 8.05  # 8.85 / 1.1 kg


def test_a_part_without_weight_needs_no_price() -> None:
    assert cost(recipe(*DARK.parts, part("almond", 0.0)), Context()).verdict is Verdict.GOOD


def test_a_recipe_used_as_a_part_costs_what_its_parts_cost() -> None:
    nested = recipe(part(DARK, 500.0))

    assert cost(nested, Context()).figure == 8.85


def test_a_recipe_used_as_a_part_may_have_its_own_price() -> None:
    assert cost(recipe(part(DARK, 500.0, price_per_kg=Decimal(20))), Context()).figure == 20.0


def test_a_missing_price_inside_is_named() -> None:
    rework = Recipe("rework", Form.BAR, (*DARK.parts, part("almond", 10.0)))

    assert "almonds" in cost(recipe(part(rework, 500.0)), Context()).sentence


def test_a_batch_that_all_stays_on_the_machine_has_no_price_a_kilogram() -> None:
    answer = cost(recipe(priced("cocoa_mass", 100.0, "12")), Context(kit=kit("stone")))

    assert answer.verdict is Verdict.UNKNOWN
    assert "stays on the machine" in answer.sentence


def test_a_pinch_of_unknown_water_does_not_hide_the_cost() -> None:
    herb = own_ingredient("Dried herb", Kind.OTHER_FOOD, {})
    bar = recipe(*DARK.parts, priced(herb, 1.0, "400"))

    answer = cost(bar, Context(kit=kit("stone")))

    assert answer.verdict is Verdict.GOOD
    assert any("none is taken to leave" in reason for reason in answer.reasons)


@pytest.mark.parametrize(("code", "written"), [("JPY", "9 JPY"), ("KWD", "8.850 KWD")])
def test_the_currency_decides_the_decimals(code: str, written: str) -> None:
    assert written in words(cost(DARK, Context(currency=code)))


def test_an_unknown_currency_is_told_and_does_not_raise() -> None:
    answer = cost(DARK, Context(currency="XXQ"))

    assert answer.verdict is Verdict.UNKNOWN
    assert "XXQ" in answer.sentence


def test_nothing_priced_is_no_lower_bound_of_nothing() -> None:
    answer = cost(recipe(part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)), Context())

    assert answer.low is None
    assert [row[0] for row in answer.details[0].rows] == ["Cocoa mass", "Granulated sugar"]


PRICES = st.decimals(min_value=0, max_value=500, places=2)


@given(st.lists(st.tuples(PRICES, st.integers(1, 5000)), min_size=1, max_size=10))
def test_the_batch_is_the_exact_sum_rounded_half_up_once(rows: list[tuple[Decimal, int]]) -> None:
    parts = [
        part("sugar_granulated", float(mass_g), label=str(index), price_per_kg=price)
        for index, (price, mass_g) in enumerate(rows)
    ]
    exact = sum((price * mass_g / 1000 for price, mass_g in rows), Decimal(0))

    answer = cost(recipe(*parts), Context())

    last = answer.details[0].rows[-1][-1].replace("\u202f", "").partition("\u00a0")[0]
    assert Decimal(last) == exact.quantize(Decimal("0.01"), ROUND_HALF_UP)


@given(st.floats(200, 5000), st.decimals(min_value=1, max_value=50, places=2))
def test_more_left_on_the_machine_never_makes_a_kilogram_cheaper(mass_g: float, price: Decimal) -> None:
    answer = cost(recipe(priced("cocoa_mass", mass_g + 301, str(price))), Context(kit=kit("stone")))

    assert answer.low <= answer.figure <= answer.high  # type: ignore[operator]
