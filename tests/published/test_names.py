"""Recipes worked through by hand under each standard; the arithmetic stands beside the check.

Limits: Codex CXS 87 [codex87], Directive 2000/36/EC [eu-2000-36], SI 2003/1659 [uk-2003-1659], 21 CFR 163
[cfr21-163], Canadian standards [ca-fcs4], and the national rules named in docs/references.md.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from law_recipes import DARK, MASS, MILK, MILK_POWDER, SUGAR, WHITE, allowed, best, verdict, weighed
from nibsmith.science.legal import Allowed, declared_cocoa, judge_ingredient, nib_rules
from nibsmith.science.legal.laws import law
from nibsmith.science.legal.tally import Tallies
from nibsmith.science.mixture import Form, Kind, Recipe, Stage, own_ingredient, part


def percent(recipe: Recipe, jurisdiction: str, figure: str, basis: str = "part") -> float:
    tally = Tallies(recipe).under(law(jurisdiction))
    return 100 * tally.figure(figure, basis).usual / tally.basis(basis).usual


# Dark, mass 66, butter 4.5, sugar 29.5: CB 35.64 + 4.5 = 40.14, FFDCS 66 x 0.445 = 29.37, water 0.99.
@pytest.mark.parametrize(
    ("jurisdiction", "figure", "basis", "printed"),
    [
        ("eu", "cb", "part", 40.14),
        ("eu", "ffdcs", "part", 29.37),
        ("eu", "tdcs", "part", 69.51),
        # Codex: dry mass 99.01, so 69.51 / 0.9901 and so on.
        ("codex", "tdcs", "dry", 70.205),
        ("codex", "cb", "dry", 40.541),
        ("codex", "ffdcs", "dry", 29.664),
        # US: (66 - 35.64) x 2.2 = 30.36 x 2.2; the added butter does not count.
        ("us", "liquor", "part", 66.792),
    ],
)
def test_the_figures_of_the_dark_recipe(jurisdiction: str, figure: str, basis: str, printed: float) -> None:
    assert percent(DARK, jurisdiction, figure, basis) == pytest.approx(printed, abs=5e-4)


# Milk, mass 12, butter 20, milk powder 22, sugar 45.5, lecithin 0.5: CB 6.48 + 20, FFDCS 5.34, MF 5.72,
# MS 22 x 0.97 = 21.34.
@pytest.mark.parametrize(
    ("jurisdiction", "figure", "basis", "printed"),
    [
        ("eu", "cb", "part", 26.48),
        ("eu", "ffdcs", "part", 5.34),
        ("eu", "tdcs", "part", 31.82),
        ("eu", "mf", "part", 5.72),
        ("eu", "ms", "part", 21.34),
        ("eu", "law_fat", "part", 32.20),
        ("us", "liquor", "part", 12.144),
        ("codex", "law_fat", "dry", 32.473),
    ],
)
def test_the_figures_of_the_milk_recipe(jurisdiction: str, figure: str, basis: str, printed: float) -> None:
    assert percent(MILK, jurisdiction, figure, basis) == pytest.approx(printed, abs=5e-4)


# The same recipe has another name elsewhere. Swiss figures are from memory, so those rules are on here.
GRID = {
    "eu": ("chocolate", "milk", "white"),
    "uk": ("chocolate", "milk", "white"),
    "ch": ("chocolate", "milk", "white"),
    "codex": ("chocolate", "milk_high", "white_high"),
    "tr": ("chocolate", "milk", "white"),
    "us": ("semisweet", "milk", "white"),
    "ca": ("dark", "milk", "white"),
    "jp": ("chocolate", "milk", "white"),
    "kr": ("chocolate", "milk", "white"),
    "tw": ("dark", "milk", "white"),
    "br": ("chocolate", "chocolate", "white"),
    "eaeu": ("bitter", "", "white"),
    "in": ("dark", "milk", "white"),
    "au-nz": ("chocolate", "chocolate", "chocolate"),
}


@pytest.mark.parametrize("jurisdiction", GRID)
def test_the_same_recipes_have_the_names_of_each_place(jurisdiction: str) -> None:
    assert tuple(best(recipe, jurisdiction) for recipe in (DARK, MILK, WHITE)) == GRID[jurisdiction]


def test_the_eurasian_milk_class_cannot_be_decided_on_what_was_seen() -> None:
    assert verdict(MILK, "eaeu", "milk").allowed is Allowed.UNKNOWN


# Dark: quality words 43/26, couverture with FFDCS >= 16. Milk: quality 30/18/4.5, couverture total fat
# 32.2 >= 31, family 20/20/2.5/5/25, cream 5.5.
@pytest.mark.parametrize(
    ("recipe", "names"),
    [
        (DARK, {"chocolate", "couverture", "quality_chocolate", "quality_couverture"}),
        (MILK, {"milk", "milk_couverture", "quality_milk", "family_milk", "cream"}),
        (WHITE, {"white"}),
    ],
)
def test_the_other_names_the_directive_allows(recipe: Recipe, names: set[str]) -> None:
    assert allowed(recipe, "eu") == names


def test_the_codex_names_of_the_milk_recipe_include_its_couverture() -> None:
    # Total fat 32.2 / 0.9916 = 32.473 >= 31.
    assert {"milk_high", "milk_low", "family_milk", "milk_couverture"} <= allowed(MILK, "codex")


def test_the_declared_cocoa_of_the_dark_recipe_is_rounded_down() -> None:
    # 69.51 % dry cocoa solids: 69, not 70, although 70.5 g were weighed in.
    assert declared_cocoa(DARK, "eu", "chocolate") == 69
    assert declared_cocoa(DARK, "uk", "chocolate") == 69
    assert declared_cocoa(WHITE, "eu", "white") is None
    assert declared_cocoa(DARK, "us", "semisweet") is None


def with_nuts(chocolate_g: float, nuts_g: float, nuts: str = "pistachio") -> Recipe:
    return Recipe("nuts", Form.BAR, (part(DARK, chocolate_g, label="dark"), part(nuts, nuts_g)))


def test_a_quarter_of_nuts_keeps_the_name_and_the_cocoa_of_the_chocolate_part() -> None:
    bar = with_nuts(75.0, 25.0)
    assert percent(bar, "eu", "oef", "shell") == pytest.approx(25.0)
    assert percent(bar, "eu", "tdcs") == pytest.approx(69.51)  # the whole bar would be 0.75 x 69.51 = 52.1
    assert best(bar, "eu") == "chocolate"
    assert declared_cocoa(bar, "eu", "chocolate") == 69


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk"])
@pytest.mark.parametrize(("nuts_g", "keeps"), [(40.0, True), (42.0, False)])
def test_forty_percent_of_nuts_is_the_most(jurisdiction: str, nuts_g: float, keeps: bool) -> None:
    assert ("chocolate" in allowed(with_nuts(100.0 - nuts_g, nuts_g), jurisdiction)) is keeps


def filled(shell_g: float, form: Form = Form.FILLED) -> Recipe:
    cream = own_ingredient("Fruit cream", Kind.OTHER_FOOD, {"fat_g": 10.0, "water_g": 20.0})
    parts = (part(DARK, shell_g, label="shell"), part(cream, 12.0 - shell_g, stage=Stage.FILLING))
    return Recipe("piece", form, parts)


@pytest.mark.parametrize("jurisdiction", ["eu", "uk", "codex", "ch"])
def test_a_quarter_of_chocolate_around_a_filling_is_the_least(jurisdiction: str) -> None:
    # A piece of 12.0 g: shell 3.0 g is 25.0 %, 2.9 g is 24.17 %.
    assert "filled" in allowed(filled(3.0), jurisdiction)
    assert "filled" not in allowed(filled(2.9), jurisdiction)
    assert percent(filled(2.9), jurisdiction, "shell", "whole") == pytest.approx(24.17, abs=5e-3)


def test_a_filling_does_not_count_against_the_chocolate_around_it() -> None:
    piece = filled(3.0)
    assert percent(piece, "eu", "tdcs") == pytest.approx(69.51)
    assert verdict(piece, "eu", "filled").inside == "Chocolate"


def test_the_branches_of_the_codex_shell_rule_are_alternatives() -> None:
    # Nibs of 54 fat and 2 water: 44 fat-free dry. Shell 1.8 + germ 0.3: 2.1 / 44 = 4.77 <= 5, but 1.8 > 1.75.
    assert [str(each.allowed) for each in nib_rules(1.8, 0.3, 54.0, 2.0)] == ["yes", "no", "no"]
    # Shell 1.7 + germ 0.6: 2.3 / 44 = 5.23 > 5, but 1.7 <= 1.75.
    assert [str(each.allowed) for each in nib_rules(1.7, 0.6, 54.0, 2.0)] == ["yes", "yes", "yes"]
    assert [str(each.allowed) for each in nib_rules(1.8, 0.6, 54.0, 2.0)] == ["no", "no", "no"]


@pytest.mark.parametrize(("shell", "germ", "names"), [(1.8, 0.3, ""), (1.7, 0.6, "semisweet")])
def test_shell_in_the_nibs_of_a_recipe_takes_the_us_name_away(shell: float, germ: float, names: str) -> None:
    sheet = {"fat_g": 54.0, "water_g": 2.0}
    nibs = own_ingredient("Own nibs", Kind.NIB, sheet, shell_percent=shell, germ_percent=germ)
    bar = Recipe("bar", Form.BAR, (part(nibs, 70.0), part(SUGAR, 30.0)))
    assert best(bar, "us") == names
    assert best(bar, "codex") == "chocolate"
    assert best(bar, "eu") == "chocolate"


def test_codex_milk_flakes_need_three_percent_of_milk_fat() -> None:
    # Mass 8, butter 13, milk powder 12.5, sugar 66, lecithin 0.5: dry 99.505; TDCS 20.984, FFDCS 3.578,
    # MF 3.266, MS 12.185.
    flakes = weighed(Form.FLAKES, mass=8.0, butter=13.0, milk=12.5, sugar=66.0, lecithin=0.5)
    assert percent(flakes, "codex", "mf", "dry") == pytest.approx(3.266, abs=5e-4)
    assert percent(flakes, "codex", "ms", "dry") == pytest.approx(12.185, abs=5e-4)
    assert percent(flakes, "codex", "tdcs", "dry") == pytest.approx(20.984, abs=5e-4)
    assert best(flakes, "codex") == "milk_vermicelli"


def test_bitter_table_chocolate() -> None:
    # Mass 41, sugar 59: CB 22.14, FFDCS 18.245, TDCS 40.385, dry 99.385: 40.635 / 22.277 / 18.358.
    table = weighed(Form.DRINKING, mass=41.0, sugar=59.0)
    assert percent(table, "codex", "tdcs", "dry") == pytest.approx(40.635, abs=5e-4)
    assert percent(table, "codex", "cb", "dry") == pytest.approx(22.277, abs=5e-4)
    assert percent(table, "codex", "ffdcs", "dry") == pytest.approx(18.358, abs=5e-4)
    assert "para_mesa_bitter" in allowed(table, "codex", memory_rules=False)
    # Grains over 70 micrometres, which is from memory: a bar ground fine is not simply table chocolate.
    assert verdict(replace(table, form=Form.BAR), "codex", "para_mesa_bitter").allowed is Allowed.UNKNOWN


@pytest.mark.parametrize(
    ("base_g", "rice_g", "share", "name"), [(40.0, 25.0, 61.5, "milk"), (38.0, 27.0, 58.5, "confectionery")]
)
def test_a_japanese_composite_is_chocolate_from_sixty_percent_base(
    base_g: float, rice_g: float, share: float, name: str
) -> None:
    rice = own_ingredient("Puffed rice", Kind.OTHER_FOOD, {"fat_g": 1.0, "water_g": 5.0})
    parts = (part(MILK, base_g, label="base"), part(rice, rice_g, stage=Stage.FOLDED_IN))
    composite = Recipe("crunch", Form.BAR, parts)
    assert percent(composite, "jp", "chocolate", "whole") == pytest.approx(share, abs=0.05)
    assert best(composite, "jp") == name


# A bar of 100 g with 15 g raisins and 4.5 g shea: 4.5 / 85 = 5.29 % of the chocolate, 4.5 % of the whole.
SHEA = Recipe(
    "shea",
    Form.BAR,
    (part(MASS, 55.0), part(SUGAR, 25.5), part("shea_stearin", 4.5), part("raisin", 15.0)),
)


@pytest.mark.parametrize("jurisdiction", ["eu", "uk", "codex", "ch", "in"])
def test_vegetable_fat_counts_on_the_chocolate_without_the_raisins(jurisdiction: str) -> None:
    assert percent(SHEA, jurisdiction, "vf") == pytest.approx(5.29, abs=5e-3)
    assert best(SHEA, jurisdiction) == ""


def test_taiwan_counts_vegetable_fat_on_the_whole() -> None:
    assert percent(SHEA, "tw", "vf", "whole") == pytest.approx(4.5)
    assert best(SHEA, "tw") == "composite"
    assert verdict(SHEA, "tw", "composite").inside == "Dark chocolate"


@pytest.mark.parametrize("jurisdiction", ["us", "ca"])
def test_plain_names_of_north_america_take_no_vegetable_fat(jurisdiction: str) -> None:
    assert allowed(SHEA, jurisdiction) & {"semisweet", "sweet", "dark", "milk"} == set()


# The least share of liquor for 35 % by the US formula: 35 / (2.2 (1 - f)) for a liquor of fat f.
@pytest.mark.parametrize(("fat", "least"), [(50.0, 31.82), (54.0, 34.58), (58.0, 37.88), (60.0, 39.77)])
def test_the_us_formula_turned_round_for_semisweet(fat: float, least: float) -> None:
    liquor = own_ingredient("Liquor", Kind.MASS, {"fat_g": fat, "water_g": 1.5})

    def bar(share: float) -> Recipe:
        return Recipe("bar", Form.BAR, (part(liquor, share), part(SUGAR, 100.0 - share)))

    assert best(bar(least + 0.01), "us") == "semisweet"
    assert best(bar(least - 0.01), "us") == "sweet"


def test_the_us_formula_turned_round_for_milk() -> None:
    # 10 / (2.2 x 0.46) = 9.88 g of a liquor of 54 % fat.
    def bar(mass_g: float) -> Recipe:
        return weighed(mass=mass_g, butter=20.0, milk=25.0, sugar=55.0 - mass_g)

    assert best(bar(9.89), "us") == "milk"
    assert best(bar(9.87), "us") == ""


def test_added_butter_does_not_count_as_us_liquor() -> None:
    # The EU sees 20 + 20 = well over 35 % cocoa; the US formula sees 20 x 0.46 x 2.2 = 20.24 %.
    bar = weighed(mass=40.0, butter=20.0, sugar=40.0)
    lean = weighed(mass=20.0, butter=20.0, sugar=60.0)
    assert percent(lean, "us", "liquor") == pytest.approx(20.24)
    assert best(bar, "us") == "semisweet"
    assert best(lean, "us") == "sweet"


@pytest.mark.parametrize(
    ("jurisdiction", "fat", "key"),
    [
        ("us", 22.0, "powder_breakfast"),
        ("us", 21.9, "powder"),
        ("us", 10.0, "powder"),
        ("us", 9.9, "powder_low"),
        ("codex", 19.0, "powder"),  # 19 / 95 = 20.0 % of the dry matter
        ("codex", 18.9, "powder_reduced"),
        ("codex", 9.5, "powder_reduced"),
        ("codex", 9.4, "powder_highly_reduced"),
        ("eu", 19.0, "powder"),
        ("eu", 18.9, "powder_reduced"),
        ("ca", 10.0, "powder"),
        ("jp", 8.0, "powder"),
    ],
)
def test_cocoa_powders_are_named_by_their_fat(jurisdiction: str, fat: float, key: str) -> None:
    verdicts = judge_ingredient("powder", jurisdiction, {"fat": fat, "water": 5.0})
    assert [each.key for each in verdicts if each.best] == [key]


@pytest.mark.parametrize(("jurisdiction", "most"), [("codex", 7.0), ("eu", 9.0), ("jp", 7.0)])
def test_cocoa_powder_has_a_most_of_water(jurisdiction: str, most: float) -> None:
    def is_powder(water: float) -> bool:
        verdicts = judge_ingredient("powder", jurisdiction, {"fat": 22.0, "water": water})
        return any(each.best for each in verdicts)

    assert is_powder(most)
    assert not is_powder(most + 0.01)


@pytest.mark.parametrize(("fat", "is_liquor"), [(49.9, False), (50.0, True), (60.0, True), (60.1, False)])
def test_us_liquor_has_fifty_to_sixty_percent_fat(fat: float, is_liquor: bool) -> None:
    verdicts = judge_ingredient("mass", "us", {"fat": fat, "water": 1.0, "shell": 1.0})
    assert any(each.best for each in verdicts) is is_liquor


def test_a_milk_powder_of_the_round_analysis_has_97_percent_milk_solids() -> None:
    bar = Recipe("milk", Form.BAR, (part(MILK_POWDER, 22.0), part(SUGAR, 78.0)))
    assert percent(bar, "eu", "ms") == pytest.approx(21.34)
