"""Every name that is refused says what would earn it, and a change that is offered earns it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law_recipes import DARK, MASS, MILK, SUGAR, WHITE
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.call_it import Earned, call_it, names, names_earned, nearest_detail
from nibsmith.answers.context import Context
from nibsmith.answers.report import name_of
from nibsmith.science.kit import kit
from nibsmith.science.legal import Allowed, judge_name
from nibsmith.science.mixture import Form, Kind, Recipe, Stage, own_ingredient, part

STONE = Context(kit=kit("stone"))
ASKED = (Allowed.NO, Allowed.DEPENDS)


def bar(form: Form = Form.BAR, **masses_g: float) -> Recipe:
    return Recipe("bar", form, tuple(part(key, mass_g) for key, mass_g in masses_g.items()))


FATS = bar(cocoa_mass=500.0, shea_stearin=40.0, coconut_oil=20.0, sugar_granulated=440.0)


def earned(recipe: Recipe, context: Context = STONE) -> dict[tuple[str, str], Earned]:
    return {(verdict.jurisdiction, verdict.key): found for verdict, found in names_earned(recipe, context)}


def judged(recipe: Recipe, context: Context, jurisdiction: str, key: str) -> Allowed:
    return judge_name(recipe, jurisdiction, key, end_water_percent=context.end_water).allowed


KEYS = ("cocoa_nibs_roasted", "cocoa_mass", "cocoa_butter", "sugar_granulated", "milk_powder_whole")
MORE = ("milk_powder_skim", "shea_stearin", "coconut_oil", "oat_flour", "sugar_powdered", "hazelnut_paste")


@st.composite
def bars(draw: st.DrawFn) -> Recipe:
    masses = st.floats(5.0, 600.0)
    masses_g = draw(st.dictionaries(st.sampled_from(KEYS), masses, min_size=1, max_size=4))
    masses_g |= draw(st.dictionaries(st.sampled_from(MORE), st.floats(1.0, 100.0), max_size=2))
    return bar(draw(st.sampled_from([Form.BAR, Form.DRINKING, Form.FLAKES])), **masses_g)


@pytest.mark.long
@given(bars(), st.sampled_from([Context(), STONE]))
def test_every_change_earns_its_name_and_every_other_name_says_why_not(
    recipe: Recipe, context: Context
) -> None:
    for verdict, found in names_earned(recipe, context):
        if verdict.allowed not in ASKED:
            assert found == Earned()
        elif found.remedy is None:
            assert found.why_not.endswith(".")
        else:
            assert found.remedy.checked
            assert not found.why_not
            after = apply_remedy(recipe, found.remedy)
            assert judged(after, context, verdict.jurisdiction, verdict.key) is Allowed.YES
            assert found.remedy.new_total_g == pytest.approx(after.total_g)


def test_a_fat_that_is_not_permitted_is_swapped_for_butter() -> None:
    """Directive 2000/36/EC, Annex II: coconut oil only in coatings for ice; shea is one of the six."""
    found = earned(FATS)
    for key in ("chocolate", "milk", "couverture", "family_milk", "gianduja"):
        remedy = found["eu", key].remedy
        assert remedy is not None, key
        out = {change.part: change.add_g for change in remedy.changes}
        assert out["coconut_oil"] == -20.0
        assert "shea_stearin" not in out
    (remedy,) = call_it(FATS, STONE).remedies
    assert remedy.sentence.replace("\u00a0", " ") == (
        "Take out all the coconut oil and add 20 g cocoa butter: "
        "then it may be called dark chocolate in the EU."
    )


@pytest.mark.parametrize(
    ("recipe", "place", "key", "brought"),
    [
        (DARK, "eu", "milk", "milk_powder_whole"),
        (DARK, "eu", "gianduja", "hazelnut_paste"),
        (DARK, "us", "skim_milk", "milk_powder_skim"),
        (DARK, "eu", "skimmed", "milk_powder_skim"),
        (bar(cocoa_mass=90.0, cocoa_butter=10.0), "eu", "chocolate", "sugar_granulated"),
        (
            bar(cocoa_mass=300.0, milk_powder_skim=150.0, sugar_granulated=550.0),
            "eu",
            "milk",
            "milk_powder_whole",
        ),
    ],
)
def test_what_a_name_misses_is_brought_in(recipe: Recipe, place: str, key: str, brought: str) -> None:
    remedy = earned(recipe, Context())[place, key].remedy
    assert remedy is not None
    assert brought in [change.ingredient or change.part for change in remedy.changes]


@pytest.mark.parametrize(("place", "key"), [("eu", "milk"), ("us", "milk"), ("eu", "chocolate")])
def test_a_white_recipe_is_told_how_much_cocoa_mass_another_name_wants(place: str, key: str) -> None:
    remedy = earned(WHITE)[place, key].remedy
    assert remedy is not None
    assert "cocoa_mass" in [change.ingredient for change in remedy.changes]


def test_a_bar_of_cocoa_alone_is_earned_by_taking_out_what_is_no_cocoa() -> None:
    remedy = earned(FATS)["eu", "cocoa_only"].remedy
    assert remedy is not None
    assert {change.part: change.add_g for change in remedy.changes} == {
        "shea_stearin": -40.0,
        "coconut_oil": -20.0,
        "sugar_granulated": -440.0,
    }


def test_white_chocolate_takes_the_cocoa_solids_out() -> None:
    remedy = earned(
        bar(cocoa_mass=20.0, cocoa_butter=280.0, milk_powder_whole=220.0, sugar_granulated=480.0)
    )["eu", "white"].remedy
    assert remedy is not None
    assert {change.part: change.add_g for change in remedy.changes} == {"cocoa_mass": -20.0}


@pytest.mark.parametrize(
    ("recipe", "place", "key", "why"),
    [
        (
            DARK,
            "eu",
            "filled",
            "Sold as a bar, it does not go by this name: amounts alone do not change that.",
        ),
        (DARK, "eu", "taza", "It holds no flour or starch: amounts alone do not change that."),
    ],
)
def test_where_amounts_alone_cannot_it_is_said_why(recipe: Recipe, place: str, key: str, why: str) -> None:
    found = earned(recipe)[place, key]
    assert (found.remedy, found.why_not) == (None, why)


def test_shell_over_the_limit_is_no_matter_of_amounts() -> None:
    shelly = own_ingredient("Lot", Kind.NIB, {"fat_g": 54.0, "water_g": 2.0}, shell_percent=1.8)
    found = earned(Recipe("b", Form.BAR, (part(shelly, 70.0), part(SUGAR, 30.0))))["us", "semisweet"]
    assert found.remedy is None
    assert "shell" in found.why_not
    assert found.why_not.endswith("amounts alone do not change that.")


def test_a_figure_that_is_not_given_is_said() -> None:
    milk = own_ingredient("Goat milk powder", Kind.MILK, {"water_g": 3.0})
    short = Recipe("b", Form.BAR, (part(MASS, 30.0), part(milk, 5.0), part(SUGAR, 65.0)))
    found = earned(short)["eu", "family_milk"]
    assert found.remedy is None
    assert "Goat milk powder" in found.why_not


def test_what_is_folded_in_does_not_count_as_ground_in() -> None:
    strewn = part("hazelnut_paste", 10.0, stage=Stage.FILLING, label="middle")
    filled = Recipe("b", Form.FILLED, (part(MASS, 60.0), part(SUGAR, 40.0), strewn))
    assert all(found.remedy or found.why_not for found in earned(filled).values() if found != Earned())


def test_the_document_of_a_name_holds_its_nearest_change_or_why_there_is_none() -> None:
    documents = {
        (verdict.jurisdiction, verdict.key): name_of(verdict, found)
        for verdict, found in names_earned(FATS, STONE)
    }
    chocolate, filled = documents["eu", "chocolate"], documents["eu", "filled"]
    assert chocolate["nearest"]["checked"] is True  # type: ignore[index]
    assert chocolate["nearest_note"] == ""
    assert filled["nearest"] is None
    assert "amounts alone" in str(filled["nearest_note"])


def test_the_table_lists_every_refused_name_of_the_markets_and_no_other() -> None:
    context = Context(kit=kit("stone"), markets=("us", "eu"))
    refused = [
        verdict
        for verdict in names(FATS, context)
        if verdict.jurisdiction in ("us", "eu") and verdict.allowed in ASKED
    ]
    other_form = [each for each in refused if any(lack.figure == "form" for lack in each.lacking)]
    rows = nearest_detail(FATS, context).rows
    assert len(rows) == len(refused) - len(other_form)
    assert {row[0] for row in rows} == {"US", "EU"}
    assert all(row[3] and row[4] for row in rows)


@pytest.mark.parametrize("recipe", [DARK, MILK, WHITE])
def test_a_name_that_is_earned_needs_nothing(recipe: Recipe) -> None:
    for verdict, found in names_earned(recipe, STONE):
        if verdict.allowed is Allowed.YES:
            assert found == Earned()


def test_the_scale_shows_the_amounts_where_rounding_all_of_them_up_does_not_do() -> None:
    """Skimmed-milk chocolate has an upper end to its milk fat: both powders rounded up would pass it."""
    dark = bar(cocoa_nibs_roasted=1100.6, cocoa_butter=86.3, sugar_granulated=690.5)
    remedy = earned(dark)["eu", "skimmed"].remedy
    assert remedy is not None
    assert len(remedy.changes) == 2
    assert all(change.add_g == round(change.add_g) for change in remedy.changes)
    assert judged(apply_remedy(dark, remedy), STONE, "eu", "skimmed") is Allowed.YES


def test_what_is_not_in_it_lacks_wholly_though_a_water_is_not_given() -> None:
    mystery = part(own_ingredient("Mystery", Kind.SUGAR, {}), 10.0)
    mass = Recipe("bar", Form.BAR, (part("cocoa_mass", 60.0), part("sugar_granulated", 30.0), mystery))
    (milk,) = (of for of in names(mass, STONE) if (of.jurisdiction, of.key) == ("eu", "milk"))
    has = {lack.figure: lack.has for lack in milk.lacking if lack.gap is not None}
    assert has == {"dry milk solids": 0.0, "milk fat": 0.0}


def test_a_change_that_the_kit_does_not_hold_says_so() -> None:
    harbour = bar(cocoa_mass=600.0, milk_powder_whole=400.0, sugar_granulated=900.0, cocoa_butter=100.0)
    said = [
        found.remedy.sentence.replace("\u00a0", " ") for found in earned(harbour).values() if found.remedy
    ]
    large = [one for one in said if "holds 3 000 g at most" in one.replace("\u202f", " ")]
    assert large
    assert len(large) < len(said)
