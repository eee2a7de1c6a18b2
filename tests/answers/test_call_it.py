"""What a recipe may be called: the sentence, the verdict, and remedies that hold what they promise."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law_recipes import DARK, MASS, MILK, SUGAR, WHITE, weighed
from nibsmith.answers.answer import Verdict
from nibsmith.answers.apply import apply_remedy
from nibsmith.answers.call_it import call_it, names, places
from nibsmith.answers.context import Context
from nibsmith.science.kit import kit
from nibsmith.science.legal import Allowed, NameVerdict, judge_name, jurisdictions, reservation
from nibsmith.science.mixture import (
    Form,
    Grind,
    Ingredient,
    Kind,
    Recipe,
    Stage,
    at_fat,
    own_ingredient,
    part,
)

KEYS = tuple(jurisdictions())
THREE = Context(markets=("eu", "uk", "us"))


def bar(form: Form = Form.BAR, **masses_g: float) -> Recipe:
    return Recipe("bar", form, tuple(part(key, mass_g) for key, mass_g in masses_g.items()))


def earned(recipe: Recipe, context: Context) -> dict[tuple[str, str], Allowed]:
    return {(each.jurisdiction, each.key): each.allowed for each in names(recipe, context)}


def test_the_sentence_names_the_markets_and_the_cocoa() -> None:
    answer = call_it(DARK, THREE)
    assert answer.sentence == (
        "Dark chocolate in the EU and UK; bittersweet chocolate in the US. Cocoa: 69 % minimum."
    )
    assert answer.verdict is Verdict.GOOD
    assert (answer.figure, answer.unit) == (69.0, "%")
    assert "without other foods" in answer.basis


def test_the_maker_s_first_market_comes_first() -> None:
    answer = call_it(DARK, Context(markets=("us", "eu")))
    assert answer.sentence.startswith("Bittersweet chocolate in the US; dark chocolate in the EU.")
    assert [row[0] for row in answer.details[0].rows] == ["US", "EU"]


def test_what_is_folded_in_goes_with_the_name() -> None:
    nuts = replace(DARK, parts=(*DARK.parts, part("hazelnut", 10.0), part("raisin", 5.0)))
    assert call_it(nuts, Context()).sentence.startswith(
        "Dark chocolate with hazelnuts and raisins in the EU."
    )


def test_ground_food_does_not_go_with_the_name() -> None:
    coffee = replace(DARK, parts=(*DARK.parts, part("coffee_instant", 3.0)))
    assert " with " not in call_it(coffee, Context()).sentence


def test_chocolate_with_milk_in_it_is_not_described_as_dark() -> None:
    some_milk = weighed(mass=60.0, milk=5.0, sugar=35.0)
    assert call_it(some_milk, Context()).sentence.startswith("Chocolate in the EU.")


def test_a_filled_piece_says_what_is_around_it() -> None:
    parts = (part(MILK, 40.0, label="shell"), part("honey", 60.0, stage=Stage.FILLING))
    answer = call_it(Recipe("piece", Form.FILLED, parts), Context())
    assert answer.sentence == "Filled chocolate (milk chocolate outside) in the EU."
    assert answer.figure is None  # a filled chocolate declares no cocoa


def test_nothing_that_fits_is_described_and_never_called_illegal() -> None:
    answer = call_it(bar(cocoa_mass=20.0, sugar_granulated=80.0), Context())
    assert answer.verdict is Verdict.STOP
    assert answer.sentence == "No reserved name in the EU: describe it."
    text = " ".join((answer.word, answer.sentence, *answer.reasons)).lower()
    assert "illegal" not in text
    assert any("dry cocoa solids" in reason and "short" in reason for reason in answer.reasons)


def test_a_name_in_some_markets_only_is_to_be_watched() -> None:
    answer = call_it(weighed(mass=33.0, butter=1.0, sugar=66.0), THREE)
    assert answer.verdict is Verdict.WATCH
    assert answer.sentence.startswith(
        "No reserved name in the EU and UK: describe it; sweet chocolate in the US."
    )


def test_a_name_that_depends_gives_the_breakpoint() -> None:
    # 2.2 x 10 x (1 - f) / 100 >= 10 % at f = 54.5 %.
    recipe = bar(cocoa_mass=10.0, cocoa_butter=20.0, milk_powder_whole=20.0, sugar_granulated=50.0)
    answer = call_it(recipe, Context(markets=("us",)))
    assert answer.verdict is Verdict.WATCH
    assert answer.sentence == "Milk chocolate in the US, only if your cocoa mass has less than 54.5 % fat."


def test_a_better_name_that_depends_is_told_beside_the_one_that_is_sure() -> None:
    recipe = bar(cocoa_nibs_roasted=35.0, sugar_granulated=65.0)
    answer = call_it(recipe, Context(markets=("us",)))
    assert answer.verdict is Verdict.GOOD
    assert answer.sentence.startswith("Sweet chocolate in the US.")
    assert any(
        "bittersweet chocolate only if your roasted nibs have less than 54.5 % fat" in each
        for each in answer.reasons
    )


def test_an_unknown_figure_is_named() -> None:
    goat = own_ingredient("Goat milk powder", Kind.MILK, {"fat_g": 28.0})
    parts = (part(MASS, 12.0), part("cocoa_butter", 20.0), part(goat, 22.0), part(SUGAR, 46.0))
    answer = call_it(Recipe("goat", Form.BAR, parts), Context())
    assert answer.verdict is Verdict.UNKNOWN
    assert "Goat milk powder" in answer.sentence


def test_rules_from_memory_are_off_by_default_and_marked_when_on() -> None:
    off = call_it(DARK, Context(markets=("ch",)))
    assert off.verdict is Verdict.UNKNOWN
    assert "from memory only and are switched off" in off.sentence
    on = call_it(DARK, Context(markets=("ch",), memory_rules=True))
    assert on.verdict is Verdict.GOOD
    assert any("from memory, not checked" in reason for reason in on.reasons)


@pytest.mark.parametrize("recipe", [DARK, MILK, WHITE, weighed(mass=20.0, sugar=80.0)])
def test_every_answer_ends_with_who_decides(recipe: Recipe) -> None:
    answer = call_it(recipe, Context(markets=KEYS))
    assert answer.reasons[-1] == reservation()
    assert answer.details[0].note == reservation()


def test_every_source_is_cited_with_its_status() -> None:
    answer = call_it(DARK, THREE)
    assert [(each.key, each.status.value) for each in answer.sources] == [
        ("eu-2000-36", "read"),
        ("uk-2003-1659", "read-secondary"),
        ("cfr21-163", "read"),
    ]


def test_the_names_of_all_places_are_given_with_the_chosen_first() -> None:
    found = names(DARK, Context(markets=("us", "jp")))
    order = list(dict.fromkeys(each.jurisdiction for each in found))
    assert order[:2] == ["us", "jp"]
    assert set(order) == set(KEYS)


def test_a_verdict_is_a_plain_document() -> None:
    document = next(each for each in names(DARK, Context()) if each.key == "milk").document()
    assert {"jurisdiction", "key", "name", "allowed", "best", "lacking", "depends_on"} <= document.keys()
    assert document["allowed"] == "no"
    assert document["best"] is False


def test_vegetable_fat_brings_its_notice() -> None:
    shea = bar(cocoa_mass=70.0, sugar_granulated=27.0, shea_stearin=3.0)
    answer = call_it(shea, Context())
    assert any("contains vegetable fats in addition to cocoa butter" in reason for reason in answer.reasons)


def test_what_is_a_reading_of_the_text_says_so() -> None:
    nuts = replace(DARK, parts=(*DARK.parts, part("hazelnut", 10.0), part("cocoa_powder_natural", 2.0)))
    reasons = " ".join(call_it(nuts, Context(markets=("us",))).reasons)
    assert "taken off before the figures are worked out is our own judgement" in reasons
    assert "cocoa powder does not: a reading" in reasons
    assert "our own judgement" not in " ".join(call_it(nuts, Context(markets=("eu",))).reasons)


def test_places_are_listed_as_a_person_does() -> None:
    assert places(["in the EU", "in the UK", "in the US"]) == "in the EU, UK and US"
    assert places(["under Codex", "in Japan"]) == "under Codex and in Japan"


# Recipes that want a name, with the market and the name their remedy earns.
WANTING = [
    pytest.param(weighed(mass=33.0, butter=1.0, sugar=66.0), "eu", "dark chocolate", id="cocoa"),
    pytest.param(weighed(mass=33.0, butter=1.0, sugar=66.0), "us", "bittersweet chocolate", id="liquor"),
    pytest.param(weighed(mass=33.0, sugar=67.0), "codex", "dark chocolate", id="codex"),
    pytest.param(weighed(mass=10.0, butter=15.0, milk=15.0, sugar=60.0), "eu", "milk chocolate", id="milk"),
    pytest.param(
        weighed(mass=15.0, butter=16.0, milk=12.0, sugar=57.0), "eu", "milk chocolate", id="milk-solids"
    ),
    pytest.param(weighed(butter=18.0, milk=13.0, sugar=69.0), "eu", "white chocolate", id="white"),
    pytest.param(weighed(butter=18.0, milk=13.0, sugar=69.0), "us", "white chocolate", id="white-us"),
    pytest.param(bar(cocoa_mass=60.0, sugar_powdered=40.0), "eu", "dark chocolate", id="icing-sugar"),
    pytest.param(
        bar(cocoa_mass=58.0, hazelnut=42.0, sugar_granulated=0.5), "eu", "dark chocolate", id="nuts"
    ),
    pytest.param(
        bar(cocoa_mass=60.0, sugar_granulated=32.0, shea_stearin=8.0), "eu", "dark chocolate", id="shea"
    ),
    pytest.param(
        bar(cocoa_mass=60.0, sugar_granulated=32.0, shea_stearin=8.0), "ca", "dark chocolate", id="shea-ca"
    ),
    pytest.param(
        bar(cocoa_mass=60.0, sugar_granulated=30.0, oat_flour=10.0), "eu", "dark chocolate", id="flour"
    ),
    pytest.param(
        bar(cocoa_mass=50.0, sugar_granulated=48.0, lecithin_soy=2.0),
        "us",
        "bittersweet chocolate",
        id="lecithin",
    ),
    pytest.param(
        bar(cocoa_nibs_roasted=35.0, sugar_granulated=65.0), "us", "bittersweet chocolate", id="fat-varies"
    ),
    pytest.param(
        bar(cocoa_powder_natural=25.0, cocoa_butter=20.0, sugar_granulated=55.0),
        "us",
        "bittersweet chocolate",
        id="no-liquor",
    ),
]


@pytest.mark.parametrize(
    ("analysis", "lacks"),
    [
        ({"fat_g": 53.0}, "the water of Hill nibs is"),
        ({"water_g": 2.0}, "the fat of Hill nibs is"),
        ({}, "the fat and water of Hill nibs are"),
    ],
)
def test_a_cocoa_that_cannot_be_declared_says_whose_figure_is_not_given(
    analysis: dict[str, float], lacks: str
) -> None:
    hill = own_ingredient("Hill nibs", Kind.NIB, analysis)
    recipe = Recipe("bar", Form.BAR, (part(MASS, 60.0), part(hill, 2.0), part(SUGAR, 38.0)))
    answer = call_it(recipe, Context(markets=("eu", "uk")))

    assert answer.sentence.startswith("Dark chocolate in the EU and UK.")
    assert answer.sentence.endswith(f"Cocoa: not known, for {lacks} not given.")
    assert [row[2] for row in answer.details[0].rows] == ["not known", "not known"]


def test_where_no_cocoa_is_declared_nothing_is_said_of_it() -> None:
    hill = own_ingredient("Hill nibs", Kind.NIB, {})
    recipe = Recipe("bar", Form.BAR, (part(MASS, 60.0), part(hill, 2.0), part(SUGAR, 38.0)))

    assert "Cocoa:" not in call_it(recipe, Context(markets=("us",))).sentence


# A filled piece of 12 g with 2.9 g of chocolate around it: (2.9 + x) / (12 + x) = 0.25 at x = 0.1 / 0.75.
THIN_SHELL = Recipe(
    "thin",
    Form.FILLED,
    (part(DARK, 2.9, label="shell"), part("honey", 9.1, stage=Stage.FILLING, kind=Kind.OTHER_FOOD)),
)
WANTING.append(pytest.param(THIN_SHELL, "eu", "filled chocolate", id="thin-shell"))


def allowed_by(recipe: Recipe, context: Context, market: str, spoken: str) -> bool:
    return any(
        each.jurisdiction == market and each.spoken == spoken and each.allowed is Allowed.YES
        for each in names(recipe, context)
    )


@pytest.mark.parametrize("scale_g", ["1", "0.1", "5"])
@pytest.mark.parametrize("grams", [100.0, 733.0, 12_000.0])
@pytest.mark.parametrize(("recipe", "market", "spoken"), WANTING)
def test_a_remedy_earns_the_name_and_half_of_it_does_not(
    recipe: Recipe, market: str, spoken: str, grams: float, scale_g: str
) -> None:
    recipe = recipe.scaled(grams)
    context = Context(markets=(market,), scale_g=Decimal(scale_g))
    assert not allowed_by(recipe, context, market, spoken)
    (remedy,) = call_it(recipe, context).remedies
    assert spoken in remedy.sentence
    assert remedy.checked
    whole = apply_remedy(recipe, remedy)
    assert allowed_by(whole, context, market, spoken)
    assert not allowed_by(apply_remedy(recipe, remedy, 0.5), context, market, spoken)
    assert remedy.new_total_g == pytest.approx(whole.total_g)
    assert call_it(whole, context).verdict is Verdict.GOOD


@given(
    st.floats(10.0, 45.0),
    st.floats(0.0, 20.0),
    st.floats(0.0, 25.0),
    st.floats(30.0, 70.0),
    st.sampled_from(["eu", "us", "ca", "codex", "tr"]),
)
def test_any_remedy_holds_what_it_promises(
    mass_g: float, butter_g: float, milk_g: float, sugar_g: float, market: str
) -> None:
    recipe = weighed(mass=mass_g, butter=butter_g, milk=milk_g, sugar=sugar_g)
    context = Context(markets=(market,))
    before = earned(recipe, context)
    for remedy in call_it(recipe, context).remedies:
        after = earned(apply_remedy(recipe, remedy), context)
        half = earned(apply_remedy(recipe, remedy, 0.5), context)
        gained = {
            key for key, found in after.items() if found is Allowed.YES and before[key] is not Allowed.YES
        }
        assert {key for key in gained if key[0] == market and half[key] is not Allowed.YES}


def test_a_remedy_is_the_smallest_by_hand() -> None:
    # 33 g mass of 98.5 % and 1 g butter make 33.505 g dry cocoa of 100: (33.505 + x) / (100 + x) = 0.35 at
    # x = 1.495 / 0.65 = 2.3 g of butter; mass brings only 98.5 % of its weight, so it would take more.
    recipe = weighed(mass=33.0, butter=1.0, sugar=66.0)
    (remedy,) = call_it(recipe, Context(scale_g=Decimal("0.1"))).remedies
    assert [(change.part, change.add_g) for change in remedy.changes] == [("butter", pytest.approx(2.3))]


def test_a_thin_shell_wants_more_of_its_chocolate_by_hand() -> None:
    (remedy,) = call_it(THIN_SHELL, Context(scale_g=Decimal("0.001"))).remedies
    assert [(change.part, change.add_g) for change in remedy.changes] == [("shell", pytest.approx(0.134))]


def test_want_of_cocoa_takes_no_nuts_out() -> None:
    recipe = bar(cocoa_mass=25.0, sugar_granulated=50.0, hazelnut_paste=25.0)
    (remedy,) = call_it(recipe, Context(markets=("us",))).remedies
    assert all(change.add_g > 0 for change in remedy.changes)


def test_a_remedy_for_an_uncertain_fat_holds_at_both_ends() -> None:
    recipe = bar(cocoa_nibs_roasted=35.0, sugar_granulated=65.0)
    (remedy,) = call_it(recipe, Context(markets=("us",))).remedies
    mended = apply_remedy(recipe, remedy)
    nibs = mended.parts[0].of
    assert isinstance(nibs, Ingredient)
    for fat in (nibs.fat_low_g, nibs.fat_high_g):
        assert fat is not None
        settled = replace(mended, parts=(replace(mended.parts[0], of=at_fat(nibs, fat)), *mended.parts[1:]))
        assert allowed_by(settled, Context(), "us", "bittersweet chocolate")


def test_the_same_change_for_two_markets_is_told_once() -> None:
    (remedy,) = call_it(weighed(mass=33.0, butter=1.0, sugar=66.0), Context(markets=("eu", "uk"))).remedies
    assert "in the EU and UK" in remedy.sentence


def test_an_everyday_name_wants_no_remedy() -> None:
    assert call_it(DARK, Context(markets=KEYS)).remedies == ()


def test_a_part_that_is_not_in_the_recipe_is_named_by_its_ingredient() -> None:
    (remedy,) = call_it(bar(cocoa_mass=60.0, sugar_powdered=40.0), Context()).remedies
    assert [(change.part, change.ingredient) for change in remedy.changes if change.add_g > 0] == [
        ("sugar_granulated", "sugar_granulated")
    ]


def test_a_label_that_is_taken_does_not_hide_a_new_part() -> None:
    recipe = Recipe(
        "odd",
        Form.BAR,
        (part(MASS, 33.0, label="cocoa_butter"), part(SUGAR, 67.0, label="sugar")),
    )
    (remedy,) = call_it(recipe, Context()).remedies
    assert allowed_by(apply_remedy(recipe, remedy), Context(), "eu", "dark chocolate")


def test_the_kit_s_end_water_counts() -> None:
    # 37 g nibs of 6 % water: 34.78 g dry cocoa of 100 g charged; finished 97.78 / 0.99 = 98.77 g, 35.2 %.
    damp = own_ingredient("Damp nibs", Kind.NIB, {"fat_g": 50.0, "water_g": 6.0})
    recipe = Recipe("damp", Form.BAR, (part(damp, 37.0), part(SUGAR, 63.0)))
    assert call_it(recipe, Context()).verdict is Verdict.STOP
    assert call_it(recipe, Context(kit=kit("stone"))).sentence.startswith("Dark chocolate in the EU.")


def test_the_cocoa_is_that_of_the_wettest_mass_and_says_so() -> None:
    recipe = bar(cocoa_nibs_roasted=61.7, cocoa_butter=6.5, sugar_granulated=31.8)
    answer = call_it(recipe, Context(kit=kit("stone")))
    assert answer.sentence == "Dark chocolate in the EU. Cocoa: 66 % minimum."
    assert any("at its usual water it is 67 %" in reason for reason in answer.reasons)


def test_a_name_at_the_edge_hangs_on_the_end_water_too() -> None:
    recipe = bar(cocoa_nibs_raw=36.5, cocoa_butter=0.3, sugar_granulated=63.2)
    answer = call_it(recipe, Context(kit=kit("stone")))
    assert answer.verdict is Verdict.WATCH
    assert "and the finished mass has less than 1.1 % water" in answer.sentence
    (remedy,) = answer.remedies
    after = apply_remedy(recipe, remedy)
    assert {
        judge_name(after, "eu", "chocolate", end_water_percent=end).allowed for end in (0.7, 1.0, 1.2)
    } == {Allowed.YES}


@pytest.mark.parametrize("form", list(Form))
@pytest.mark.parametrize("recipe", [DARK, MILK, WHITE, bar(cocoa_butter=1.0), bar(almond=1.0)])
def test_every_form_and_place_has_an_answer(recipe: Recipe, form: Form) -> None:
    answer = call_it(replace(recipe, form=form), Context(markets=KEYS, memory_rules=True))
    assert answer.verdict in Verdict
    assert answer.sentence.endswith(".")
    assert len(answer.details[0].rows) == len(KEYS)


def test_pieces_of_bought_chocolate_are_chocolate() -> None:
    sheet = {"water_g": 1.0, "fat_g": 35.0, "cocoa_butter_g": 35.0, "cocoa_fat_free_dry_g": 20.0}
    drops = own_ingredient("Bought drops", Kind.OTHER_FOOD, sheet)
    chips = replace(DARK, parts=(*DARK.parts, part(drops, 60.0, stage=Stage.FOLDED_IN, grind=Grind.PIECES)))
    assert call_it(chips, Context()).verdict is Verdict.GOOD


def test_shell_in_the_nibs_is_told_where_it_takes_the_name_away() -> None:
    # 21 CFR 163.110: at most 1.75 % of shell.
    shelly = own_ingredient("Lot", Kind.NIB, {"fat_g": 54.0, "water_g": 2.0}, shell_percent=1.8)
    answer = call_it(Recipe("b", Form.BAR, (part(shelly, 70.0), part(SUGAR, 30.0))), Context(markets=("us",)))
    assert answer.verdict is Verdict.STOP
    assert answer.remedies == ()
    assert any("shell: 1.8 % where at most 1.75 % is asked" in reason for reason in answer.reasons)


def test_shell_that_is_not_given_is_said_where_a_limit_is_asked() -> None:
    # 21 CFR 163.110; the Canadian standard; CXS 141, applied to what mass is ground from. The EU asks none.
    recipe = bar(cocoa_nibs_roasted=70.0, sugar_granulated=30.0)
    answer = call_it(recipe, Context(markets=("us", "ca", "codex", "eu")))
    said = [reason for reason in answer.reasons if "shell" in reason]
    assert [reason.split(":")[0] for reason in said] == ["In the US", "In Canada", "Under Codex"]
    assert all("roasted nibs is not given: at most 1.75 % is asked" in reason for reason in said)
    told = own_ingredient("Lot", Kind.NIB, {"fat_g": 54.0, "water_g": 2.0}, shell_percent=1.0)
    counted = Recipe("b", Form.BAR, (part(told, 70.0), part(SUGAR, 30.0)))
    assert not any("shell" in reason for reason in call_it(counted, Context(markets=("us",))).reasons)


def test_a_bar_ground_fine_is_not_simply_called_table_chocolate() -> None:
    answer = call_it(DARK, Context(markets=("codex",)))
    assert not any("para mesa" in reason for reason in answer.reasons)


def test_an_answer_at_twenty_parts_still_finds_remedies() -> None:
    keys = (
        "almond",
        "raisin",
        "coffee_instant",
        "cinnamon",
        "salt",
        "pecan",
        "walnut",
        "cashew",
        "pistachio",
    )
    more = ("fig_dried", "date_medjool", "goji_dried", "cardamom", "nutmeg", "macadamia", "ginger_ground")
    parts = [part(key, 1.0) for key in (*keys, *more)]
    parts += [
        part("cocoa_nibs_roasted", 30.0),
        part("cocoa_butter", 1.0),
        part("sugar_granulated", 60.0),
        part("milk_powder_skim", 1.0),
    ]
    recipe = Recipe("busy", Form.BAR, tuple(parts))
    assert len(recipe.parts) == 20
    assert call_it(recipe, THREE).remedies


def test_the_verdict_type_is_the_science_s() -> None:
    assert all(isinstance(each, NameVerdict) for each in names(DARK, Context()))
