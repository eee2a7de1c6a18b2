"""What must hold for any recipe, and the gates that figures alone do not express."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law_recipes import DARK, MASS, MILK, MILK_POWDER, SUGAR, WHITE, allowed, best, verdict, weighed
from nibsmith.science.errors import InputError
from nibsmith.science.kit import kits
from nibsmith.science.legal import (
    Allowed,
    declared_cocoa,
    gates,
    judge,
    judge_all,
    jurisdictions,
    other_edible,
    requirements,
)
from nibsmith.science.mixture import (
    Form,
    Grind,
    Ingredient,
    Kind,
    Leaf,
    Recipe,
    Stage,
    at_fat,
    ingredient,
    own_ingredient,
    part,
    product,
)

KEYS = tuple(jurisdictions())
GROUND = [
    "cocoa_mass",
    "cocoa_nibs_roasted",
    "cocoa_butter",
    "cocoa_powder_natural",
    "sugar_granulated",
    "milk_powder_whole",
    "milk_powder_skim",
    "butteroil",
    "lecithin_soy",
    "coffee_instant",
    "hazelnut_paste",
    "salt",
    "shea_stearin",
    "erythritol",
]
FOLDED = ["almond", "raisin", "hazelnut", "cocoa_nibs_roasted"]
MASSES = st.floats(min_value=0.5, max_value=500.0)
FORMS = st.sampled_from(list(Form))
# Nothing varies in these: the packaged nibs and mass at a fat of their own.
FIXED = {key: at_fat(ingredient(key), 53.0) for key in ("cocoa_mass", "cocoa_nibs_roasted")}


@st.composite
def recipes(draw: st.DrawFn, *, fixed: bool = False) -> Recipe:
    ground = draw(st.dictionaries(st.sampled_from(GROUND), MASSES, min_size=1, max_size=7))
    folded = draw(st.dictionaries(st.sampled_from(FOLDED), MASSES, max_size=2))
    of = {key: FIXED[key] for key in FIXED} if fixed else {}
    parts = [part(of.get(key, key), mass_g, label=key) for key, mass_g in ground.items()]
    parts += [
        part(of.get(key, key), mass_g, label=f"{key} on top", stage=Stage.ON_BACK, grind=Grind.PIECES)
        for key, mass_g in folded.items()
    ]
    return Recipe("any", draw(FORMS), tuple(parts))


def summary(recipe: Recipe, **options: bool | float | None) -> dict[tuple[str, str], Allowed]:
    verdicts = judge_all(recipe, KEYS, **options)  # type: ignore[arg-type]
    return {(each.jurisdiction, each.key): each.allowed for each in verdicts}


@given(recipes(), st.floats(min_value=1e-3, max_value=1e3))
def test_a_larger_batch_has_the_same_names(recipe: Recipe, factor: float) -> None:
    assert summary(recipe.scaled(recipe.total_g * factor)) == summary(recipe)


@given(recipes())
def test_a_recipe_in_a_recipe_has_the_names_of_the_flat_one(recipe: Recipe) -> None:
    ground = [each for each in recipe.parts if each.in_machine]
    inner = Recipe("master mass", Form.BAR, tuple(ground))
    rest = [each for each in recipe.parts if not each.in_machine]
    nested = Recipe("nested", recipe.form, (part(inner, inner.total_g), *rest))
    assert summary(nested) == summary(recipe)


@given(recipes(), MASSES)
def test_more_sugar_never_earns_a_least_of_cocoa(recipe: Recipe, more_g: float) -> None:
    sweeter = replace(recipe, parts=(*recipe.parts, part(SUGAR, more_g, label="more sugar")))
    after = {(each.jurisdiction, each.key): each for each in judge_all(sweeter, KEYS)}
    for before in judge_all(recipe, KEYS):
        short = {lack.figure for lack in before.lacking if lack.side == "at least"}
        if before.allowed is Allowed.NO and "dry cocoa solids" in short:
            assert after[before.jurisdiction, before.key].allowed is Allowed.NO


@given(recipes(fixed=True), st.sampled_from(KEYS), st.sampled_from([None, 0.5, 1.0]), st.booleans())
def test_limits_and_gates_say_what_the_verdict_says(
    recipe: Recipe, jurisdiction: str, end_water: float | None, memory_rules: bool
) -> None:
    masses_g = {each.label: each.mass_g for each in recipe.parts}
    options = {"memory_rules": memory_rules, "end_water_percent": end_water}
    for each in judge(recipe, jurisdiction, **options):  # type: ignore[arg-type]
        if each.allowed is Allowed.UNKNOWN:
            continue
        limits = requirements(recipe, each.jurisdiction, each.key, **options)  # type: ignore[arg-type]
        met = all(gate.met for gate in gates(recipe, each.jurisdiction, each.key, memory_rules=memory_rules))
        kept = all(
            _keeps(limit.value(masses_g), limit.low, limit.high, strict=limit.strict) for limit in limits
        )
        assert (met and kept) is (each.allowed is Allowed.YES)


def _keeps(value: float, low: float | None, high: float | None, *, strict: bool) -> bool:
    noise = -1e-10 if strict else 1e-10
    above = low is None or value > low - noise
    return above and (high is None or value < high + noise)


@given(recipes(fixed=True))
def test_a_limit_is_linear_in_the_weights(recipe: Recipe) -> None:
    masses_g = {each.label: each.mass_g for each in recipe.parts}
    for limit in requirements(recipe, "eu", "chocolate"):
        top = sum(limit.numerator[label] * mass_g for label, mass_g in masses_g.items())
        bottom = sum((limit.denominator or {})[label] * mass_g for label, mass_g in masses_g.items())
        assert limit.value(masses_g) == pytest.approx(top / bottom if bottom else 0.0)
        for row, bound in limit.rows():
            slack = sum(row[label] * mass_g for label, mass_g in masses_g.items()) - bound
            assert (slack >= -1e-9 * recipe.total_g) is (limit.gap(masses_g) <= 1e-9 or bottom == 0)


@given(recipes(), st.data())
def test_what_is_certain_stays_so_at_any_fat(recipe: Recipe, data: st.DataObject) -> None:
    """Settle every fat that varies somewhere in its range, and judge what is then certain."""
    fats = {
        id(each.of): at_fat(each.of, data.draw(st.floats(each.of.fat_low_g, each.of.fat_high_g)))
        for each in recipe.parts
        if isinstance(each.of, Ingredient)
        and each.of.fat_low_g is not None
        and each.of.fat_high_g is not None
    }
    settled = replace(
        recipe, parts=tuple(replace(each, of=fats.get(id(each.of), each.of)) for each in recipe.parts)
    )
    certain = summary(settled)
    for key, before in summary(recipe).items():
        if before in (Allowed.YES, Allowed.NO):
            assert certain[key] is before


@given(recipes(fixed=True))
def test_an_unknown_is_never_a_zero(recipe: Recipe) -> None:
    """Strike the water and fat of one part: a name is then unknown or comes out as it would with them."""
    full = recipe.parts[0].of
    assert isinstance(full, Ingredient)
    bare = replace(full, composition={}, fat_low_g=None, fat_high_g=None)
    struck = replace(recipe, parts=(replace(recipe.parts[0], of=bare), *recipe.parts[1:]))
    true = summary(recipe)
    for key, after in summary(struck).items():
        assert after is Allowed.UNKNOWN or after is true[key] or true[key] is Allowed.UNKNOWN


@given(recipes())
def test_there_is_one_best_name_a_place_and_it_is_the_first_allowed(recipe: Recipe) -> None:
    for key in KEYS:
        verdicts = judge(recipe, key)
        marked = [each for each in verdicts if each.best]
        certain = [each for each in verdicts if each.allowed is Allowed.YES]
        hidden = [each for each in verdicts if each.allowed is Allowed.UNKNOWN and each.daily][:1]
        before = verdicts[: verdicts.index(hidden[0])] if hidden else verdicts
        open_ = [each for each in before if each.allowed is Allowed.DEPENDS]
        expected = (certain or open_)[:1]
        assert [each.key for each in marked] == [each.key for each in expected]


def test_the_figures_agree_with_the_mixture() -> None:
    bar = weighed(mass=50.0, butter=8.0, milk=15.0, sugar=26.6, lecithin=0.4)
    mixture = product(bar)
    lack = {lack.figure: lack for lack in verdict(bar, "eu", "quality_milk").lacking}
    assert lack["milk fat"].has == pytest.approx(mixture.percent("milk_fat"))
    assert lack["dry milk solids"].gap == pytest.approx(18.0 - mixture.percent("milk_solids"))


@given(st.floats(30.0, 45.0), st.floats(0.0, 10.0), st.floats(0.0, 25.0))
def test_a_name_is_won_on_one_side_of_its_breakpoint_and_lost_on_the_other(
    nibs_g: float, butter_g: float, milk_g: float
) -> None:
    nibs = ingredient("cocoa_nibs_roasted")
    assert nibs.fat_low_g is not None
    assert nibs.fat_high_g is not None

    def bar(of: Ingredient) -> Recipe:
        rest_g = 100.0 - nibs_g - butter_g - milk_g
        amounts = (("cocoa_butter", butter_g), (MILK_POWDER, milk_g), (SUGAR, rest_g))
        return Recipe(
            "bar", Form.BAR, (part(of, nibs_g), *(part(thing, mass_g) for thing, mass_g in amounts))
        )

    for found in judge_all(bar(nibs), KEYS):
        turn = re.fullmatch(
            r"only if your roasted nibs have (less|more) than ([\d.]+) % fat", found.depends_on
        )
        if turn is None:
            continue
        sign = -1.0 if turn[1] == "less" else 1.0
        inside, outside = float(turn[2]) + 1e-6 * sign, float(turn[2]) - 0.11 * sign
        assert verdict(bar(at_fat(nibs, inside)), found.jurisdiction, found.key).allowed is Allowed.YES
        if nibs.fat_low_g <= outside <= nibs.fat_high_g:
            assert verdict(bar(at_fat(nibs, outside)), found.jurisdiction, found.key).allowed is Allowed.NO


# Dark: 35 g nibs of fat f in 100 g make 2.2 x 35 x (1 - f) of US liquor; 35 % at f = 1 - 1/2.2 = 54.545 %.
NIB_BAR = Recipe("nib bar", Form.BAR, (part("cocoa_nibs_roasted", 35.0), part(SUGAR, 65.0)))


def test_the_breakpoint_is_the_fat_at_which_the_name_turns() -> None:
    found = verdict(NIB_BAR, "us", "semisweet")
    assert found.allowed is Allowed.DEPENDS
    assert found.depends_on == "only if your roasted nibs have less than 54.5 % fat"

    def at(fat: float) -> Allowed:
        nibs = at_fat(ingredient("cocoa_nibs_roasted"), fat)
        bar = Recipe("nib bar", Form.BAR, (part(nibs, 35.0), part(SUGAR, 65.0)))
        return verdict(bar, "us", "semisweet").allowed

    turn = 100.0 * (1.0 - 1.0 / 2.2)
    assert at(turn - 1e-6) is Allowed.YES
    assert at(turn + 1e-6) is Allowed.NO


def test_a_least_of_butter_turns_the_other_way() -> None:
    # 34.5 g nibs and 1 g butter: 0.345 f + 1 >= 18 at f = 49.28 %; the solids are 0.345 x 97.5 + 1 = 34.6, so
    # Codex judges sweet chocolate (30 / 18 / 12) on dry matter: (0.345 f + 1) / 0.991375 >= 18.
    parts = (part("cocoa_nibs_roasted", 34.5), part("cocoa_butter", 1.0), part(SUGAR, 64.5))
    found = verdict(Recipe("bar", Form.BAR, parts), "codex", "sweet")
    turn = (18.0 * 0.991375 - 1.0) / 0.345
    assert found.allowed is Allowed.DEPENDS
    assert 48.8 < turn < 48.9
    assert found.depends_on == "only if your roasted nibs have more than 48.9 % fat"


def test_two_that_vary_are_both_named() -> None:
    parts = (part("cocoa_nibs_roasted", 18.0), part("cocoa_mass", 17.0), part(SUGAR, 65.0))
    found = verdict(Recipe("bar", Form.BAR, parts), "us", "semisweet")
    assert found.allowed is Allowed.DEPENDS
    assert found.depends_on.startswith("only if your roasted nibs have less than ")
    assert " and your cocoa mass has less than " in found.depends_on


def test_a_window_between_two_turns() -> None:
    # Unsweetened chocolate has 50 to 60 % fat, and these nibs 47 to 61.
    nibs = replace(ingredient("cocoa_nibs_roasted"), fat_low_g=47.0, fat_high_g=61.0)
    found = verdict(Recipe("pure", Form.BAR, (part(nibs, 100.0),)), "us", "cocoa_mass")
    assert found.depends_on == "only if your roasted nibs have between 50.0 and 60.0 % fat"


def test_a_range_that_no_fat_satisfies_is_refused() -> None:
    # US liquor asks for lean nibs (f < 54.5 %), Canadian dark for 18 % butter: both of one name never here.
    parts = (part("cocoa_nibs_roasted", 34.0), part(SUGAR, 66.0))
    bar = Recipe("bar", Form.BAR, parts)
    assert verdict(bar, "ca", "dark").allowed is Allowed.NO


def test_a_hundred_percent_bar_is_cocoa_mass_and_no_failing_chocolate() -> None:
    bar = weighed(mass=100.0)
    for jurisdiction in ("codex", "eu", "uk", "us", "ca", "ch", "tr", "in"):
        assert best(bar, jurisdiction, memory_rules=False) == "cocoa_mass", jurisdiction
    assert [lack.reason for lack in verdict(bar, "eu", "chocolate").lacking] == [
        "it holds no sugar, and chocolate is made of cocoa products and sugars"
    ]


def test_a_bar_of_cocoa_butter_alone_is_no_cocoa_mass() -> None:
    assert best(weighed(butter=100.0), "eu") == ""


def test_sweeteners_in_place_of_sugar_are_a_question() -> None:
    bar = Recipe("bar", Form.BAR, (part(MASS, 70.0), part("erythritol", 30.0)))
    found = verdict(bar, "eu", "chocolate")
    assert found.allowed is Allowed.DEPENDS
    assert "sweeteners and no sugars" in found.depends_on


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk", "us", "ca", "ch"])
def test_icing_sugar_with_starch_takes_the_name_away(jurisdiction: str) -> None:
    bar = Recipe("bar", Form.BAR, (part(MASS, 70.0), part("sugar_powdered", 30.0)))
    assert best(bar, jurisdiction) == ""


def test_flour_belongs_to_chocolate_a_la_taza_only() -> None:
    assert allowed(with_flour("Rice flour"), "eu") == {"taza", "familiar_taza"}
    assert "taza" not in allowed(DARK, "eu")


def with_flour(name: str) -> Recipe:
    flour = own_ingredient(name, Kind.FLOUR, {"fat_g": 1.0, "water_g": 10.0})
    return Recipe("cup", Form.BAR, (part(MASS, 60.0), part(SUGAR, 34.0), part(flour, 6.0)))


# Directive 2000/36/EC, Annex I A.8 and A.9, and Codex 2.1.1.1: flour or starch of wheat, rice or maize.
@pytest.mark.parametrize("key", ["taza", "familiar_taza"])
@pytest.mark.parametrize("place", ["eu", "uk", "codex"])
@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Wheat starch", Allowed.YES),
        ("Cornflour", Allowed.YES),
        ("Maize starch", Allowed.YES),
        ("Oats, rolled", Allowed.NO),
        ("Buckwheat flour", Allowed.NO),
        ("Fine flour", Allowed.DEPENDS),
        ("Licorice flour", Allowed.DEPENDS),
    ],
)
def test_a_la_taza_takes_flour_of_three_plants(name: str, expected: Allowed, place: str, key: str) -> None:
    assert verdict(with_flour(name), place, key).allowed is expected


def test_one_wrong_flour_is_enough_to_lose_the_name() -> None:
    cup = with_flour("Rice flour")
    both = replace(cup, parts=(*cup.parts, part("oat_flour", 0.5)))
    found = verdict(both, "eu", "taza")
    assert found.allowed is Allowed.NO
    assert [lack.reason for lack in found.lacking] == [
        "Oat flour is no flour or starch of wheat, rice or maize"
    ]


def test_a_name_that_hangs_on_a_rule_from_memory_is_unknown_while_those_are_off() -> None:
    bar = weighed(mass=41.0, sugar=59.0)
    off, on = (
        verdict(bar, "codex", "para_mesa_bitter", memory_rules=memory_rules) for memory_rules in (False, True)
    )
    assert (off.allowed, on.allowed) == (Allowed.UNKNOWN, Allowed.NO)
    assert "switched off" in off.depends_on


def test_no_name_that_depends_is_preferred_while_an_everyday_name_is_unknown() -> None:
    bare = own_ingredient("Own sugar", Kind.SUGAR, {})
    parts = (part("cocoa_nibs_roasted", 35.4), part("cocoa_butter", 0.35), part(bare, 64.25))
    verdicts = {each.key: each for each in judge(Recipe("bare", Form.BAR, parts), "codex")}
    assert verdicts["chocolate"].allowed is Allowed.UNKNOWN
    assert not any(each.best for each in verdicts.values())


def test_nothing_that_is_not_there_is_written_with_a_minus() -> None:
    lacking = [lack for each in judge(DARK, "codex") for lack in each.lacking]
    assert any(lack.has == 0 for lack in lacking)
    assert not any("-0" in lack.sentence or "-0" in lack.has_text for lack in lacking)


def test_white_chocolate_takes_no_cocoa_but_butter() -> None:
    speckled = weighed(mass=0.5, butter=27.5, milk=22.0, sugar=50.0)
    for jurisdiction in KEYS:
        assert not {"white", "white_high", "white_low"} & allowed(speckled, jurisdiction)


def test_nibs_strewn_on_white_chocolate_are_a_question() -> None:
    strewn = replace(WHITE, parts=(*WHITE.parts, part("cocoa_nibs_roasted", 3.0, stage=Stage.ON_BACK)))
    found = verdict(strewn, "eu", "white")
    assert found.allowed is Allowed.DEPENDS
    assert "nibs" in found.depends_on


def test_nibs_on_the_back_are_still_cocoa() -> None:
    # 34.0 % cocoa in the mass; 3 g nibs on the back of 100 g bring it over 35 %.
    plain = weighed(mass=34.5, butter=0.5, sugar=65.0)
    strewn = replace(
        plain, parts=(*plain.parts, part("cocoa_nibs_roasted", 3.0, stage=Stage.ON_BACK, grind=Grind.PIECES))
    )
    assert "chocolate" not in allowed(plain, "eu")
    assert "chocolate" in allowed(strewn, "eu")


def leaf(key: str, **facts: object) -> Leaf:
    return next(Recipe("one", Form.BAR, (part(key, 1.0, **facts),)).leaves())


@pytest.mark.parametrize(
    ("key", "facts", "off"),
    [
        ("almond", {}, {"codex", "eu", "uk", "us", "ca", "ch", "jp", "kr", "tw", "in", "eaeu", "tr"}),
        ("hazelnut_paste", {}, {"codex", "eu", "uk", "ch", "in", "eaeu", "tr"}),
        ("coffee_instant", {}, {"codex", "eu", "uk", "ch", "in", "eaeu", "tr"}),
        ("coconut_milk_powder", {}, {"codex", "eu", "uk", "ch", "in", "eaeu", "tr"}),
        (
            "salt",
            {"grind": Grind.PIECES, "stage": Stage.ON_BACK},
            {"codex", "eu", "uk", "ch", "in", "eaeu", "tr", "jp", "kr", "tw"},
        ),
        ("cocoa_nibs_roasted", {"grind": Grind.PIECES, "stage": Stage.ON_BACK}, set()),
        ("sugar_granulated", {}, set()),
    ],
)
def test_what_counts_as_an_other_food(key: str, facts: dict[str, object], off: set[str]) -> None:
    assert {jurisdiction for jurisdiction in KEYS if other_edible(leaf(key, **facts), jurisdiction)} == off


def test_coarse_nuts_are_out_of_the_us_basis_and_ground_nuts_are_in() -> None:
    def bar(grind: Grind) -> Recipe:
        return Recipe(
            "nuts", Form.BAR, (part(MASS, 30.0), part(SUGAR, 50.0), part("almond", 20.0, grind=grind))
        )

    # 30 x 0.46 x 2.2 = 30.36 of 80 is 37.95 %, of 100 it is 30.36 %.
    assert best(bar(Grind.PIECES), "us") == "semisweet"
    assert best(bar(Grind.REFINED), "us") == "sweet"


def test_lecithin_is_in_the_eu_basis_and_out_of_the_swiss() -> None:
    # 34.9 % dry cocoa solids with 0.6 % lecithin: 34.9 / 0.994 = 35.11.
    bar = weighed(mass=34.0, butter=1.41, sugar=63.99, lecithin=0.6)
    assert 34.8 < product(bar).percent("dry_cocoa_solids") < 34.95
    assert best(bar, "eu") == ""
    assert best(bar, "ch") == "chocolate"


def test_a_filling_asks_for_the_form() -> None:
    piece = Recipe(
        "piece", Form.BAR, (part(DARK, 50.0, label="dark"), part("honey", 50.0, stage=Stage.FILLING))
    )
    assert best(piece, "eu") == ""
    assert "filled" in allowed(replace(piece, form=Form.FILLED), "eu")
    assert best(replace(piece, form=Form.PRALINE), "eu") == "praline"


def test_a_filled_form_without_a_filling_is_not_filled() -> None:
    assert best(replace(DARK, form=Form.FILLED), "eu") == ""


def test_flakes_have_their_own_name_only_as_flakes() -> None:
    lean = weighed(mass=33.0, sugar=67.0)
    assert best(lean, "eu") == ""
    assert best(replace(lean, form=Form.FLAKES), "eu") == "vermicelli"


def test_gianduja_needs_ground_hazelnuts() -> None:
    def bar(grind: Grind) -> Recipe:
        parts = (part(MASS, 40.0), part(SUGAR, 35.0), part("hazelnut", 25.0, grind=grind))
        return Recipe("gianduja", Form.BAR, parts)

    assert best(bar(Grind.REFINED), "eu") == "gianduja"
    assert best(bar(Grind.PIECES), "eu") == "chocolate"


def test_nuts_of_a_gianduja_may_pass_forty_percent() -> None:
    parts = (part(MASS, 25.0), part(SUGAR, 23.0), part("hazelnut_paste", 30.0), part("almond", 22.0))
    assert best(Recipe("gianduja", Form.BAR, parts), "eu") == "gianduja"


def test_whey_is_no_milk_solid() -> None:
    bar = Recipe(
        "whey",
        Form.BAR,
        (part(MASS, 20.0), part("cocoa_butter", 15.0), part("whey_powder_sweet", 20.0), part(SUGAR, 45.0)),
    )
    assert best(bar, "eu") == ""


def test_coconut_oil_is_none_of_the_six_fats() -> None:
    bar = Recipe("oil", Form.BAR, (part(MASS, 70.0), part(SUGAR, 27.0), part("coconut_oil", 3.0)))
    assert best(bar, "eu") == ""
    shea = Recipe("shea", Form.BAR, (part(MASS, 70.0), part(SUGAR, 27.0), part("shea_stearin", 3.0)))
    assert best(shea, "eu") == "chocolate"
    own = own_ingredient("House fat", Kind.VEGETABLE_FAT, {"fat_g": 100.0, "water_g": 0.0})
    asked = Recipe("own", Form.BAR, (part(MASS, 70.0), part(SUGAR, 27.0), part(own, 3.0)))
    assert verdict(asked, "eu", "chocolate").allowed is Allowed.DEPENDS


def test_rules_from_memory_are_off_and_say_so() -> None:
    off = verdict(DARK, "ch", "chocolate")
    assert off.allowed is Allowed.UNKNOWN
    assert off.depends_on == "its figures are known from memory only and are switched off"
    assert not off.best
    assert verdict(DARK, "ch", "chocolate", memory_rules=True).allowed is Allowed.YES


def test_a_memory_rule_that_is_off_is_not_asked_of_a_read_name() -> None:
    # Codex gianduja: milk solids over 5 % is remembered, not read; 6 x 0.97 = 5.82 %.
    bar = weighed(mass=40.0, sugar=29.0, milk=6.0, hazelnut_paste=25.0)
    assert "gianduja" in allowed(bar, "codex", memory_rules=False)
    assert "gianduja" not in allowed(bar, "codex", memory_rules=True)


def test_the_fat_of_indian_dark_chocolate_is_a_question() -> None:
    bar = weighed(mass=35.0, butter=1.0, sugar=64.0)  # fat 19.9 %
    found = verdict(bar, "in", "dark")
    assert found.allowed is Allowed.DEPENDS
    assert "25 % fat" in found.depends_on


def test_an_unknown_part_is_named() -> None:
    dry = own_ingredient("Goat milk powder", Kind.MILK, {"fat_g": 28.0})
    bar = Recipe(
        "goat", Form.BAR, (part(MASS, 12.0), part("cocoa_butter", 20.0), part(dry, 22.0), part(SUGAR, 46.0))
    )
    found = verdict(bar, "eu", "milk")
    assert found.allowed is Allowed.UNKNOWN
    assert "Goat milk powder" in found.depends_on


def test_a_trace_that_is_unknown_does_not_hide_a_plain_name() -> None:
    herb = own_ingredient("Dried herb", Kind.OTHER_FOOD, {})
    bar = Recipe("herb", Form.BAR, (part(MASS, 70.0), part(SUGAR, 29.9), part(herb, 0.1)))
    assert best(bar, "codex") == "chocolate"
    assert best(bar, "eu") == "chocolate"


# Nibs hold water; a stone grinder leaves 1 %, so the finished mass is smaller and its cocoa share larger.
def test_a_kit_that_dries_the_mass_counts_on_the_finished_mass() -> None:
    stone = kits()["stone"].end_water_percent
    assert stone is not None
    bar = Recipe("nibs", Form.BAR, (part("cocoa_nibs_roasted", 70.0), part(SUGAR, 30.0)))
    # 70 x 0.975 = 68.25 g dry cocoa, with 30 g sugar 98.25 g dry: over 0.99 this is 99.242 g finished mass.
    assert declared_cocoa(bar, "eu", "chocolate") == 68
    assert percent_of_quality(bar, None) == pytest.approx(68.25)
    assert percent_of_quality(bar, stone.value) == pytest.approx(68.25 / 0.98250 * 0.99)


def percent_of_quality(bar: Recipe, water: float | None) -> float:
    """Read the cocoa share out of the limit, which the balance uses too."""
    limit = next(
        limit
        for limit in requirements(bar, "eu", "chocolate", end_water_percent=water)
        if limit.name == "dry cocoa solids"
    )
    return 100 * limit.value({each.label: each.mass_g for each in bar.parts})


def test_the_basis_in_words_says_that_the_mass_is_finished() -> None:
    # 36 g raw nibs of 6 % water: 33.84 g dry cocoa in 97.84 / 0.99 = 98.83 g is 34.24 %, still short of 35.
    bar = Recipe("raw", Form.BAR, (part("cocoa_nibs_raw", 36.0), part(SUGAR, 64.0)))
    (lack,) = (
        lack
        for lack in verdict(bar, "eu", "chocolate", end_water_percent=1.0).lacking
        if lack.figure == "dry cocoa solids"
    )
    assert lack.has == pytest.approx(34.24, abs=5e-3)
    assert "finished at 1 % water" in lack.basis


def test_drying_earns_codex_nothing_on_its_dry_basis() -> None:
    bar = Recipe("raw", Form.BAR, (part("cocoa_nibs_raw", 36.0), part(SUGAR, 64.0)))
    charged, dried = (
        next(limit for limit in requirements(bar, "codex", "chocolate", end_water_percent=water))
        for water in (None, 1.0)
    )
    masses_g = {each.label: each.mass_g for each in bar.parts}
    assert charged.value(masses_g) == pytest.approx(dried.value(masses_g))


def test_a_mass_drier_than_the_kit_stays_as_charged() -> None:
    # 0.99 % water is under the 1 % that the kit leaves: nothing goes.
    assert summary(DARK, end_water_percent=1.0) == summary(DARK)
    assert declared_cocoa(DARK, "eu", "chocolate", end_water_percent=1.0) == 69


def test_an_unknown_jurisdiction_lists_those_there_are() -> None:
    with pytest.raises(InputError, match="codex"):
        judge(DARK, "atlantis")
    with pytest.raises(InputError, match="family_milk"):
        requirements(DARK, "eu", "nougat")


def test_milk_names_prefer_the_everyday_one() -> None:
    assert best(MILK, "eu") == "milk"
    assert best(MILK, "codex") == "milk_high"


def test_a_dark_milk_chocolate_is_milk_chocolate_first() -> None:
    bar = Recipe("dark milk", Form.BAR, (part(MASS, 50.0), part(MILK_POWDER, 18.0), part(SUGAR, 32.0)))
    assert best(bar, "eu") == "milk"
    assert {"milk", "chocolate"} <= allowed(bar, "eu")
