"""Recipes that keep the figures of a name and still are not the thing: on the limit, and just off it.

Directive 2000/36/EC, Annexes I and II [eu-2000-36]; SI 2003/1659 [uk-2003-1659]; Codex CXS 87 and 141
[codex87] [codex141]; 21 CFR 163 [cfr21-163]; Canadian standards [ca-fcs4]; the national rules named in
docs/references.md.
Where a check rests on a reading of a text and not on its words, it says so.
"""

from __future__ import annotations

import pytest

from law_recipes import DARK, MASS, MILK_POWDER, SUGAR, allowed, best, verdict, weighed
from nibsmith.science.legal import Allowed
from nibsmith.science.mixture import Form, Grind, Kind, Recipe, Stage, own_ingredient, part

BUTTERMILK = own_ingredient(
    "Buttermilk powder", Kind.MILK, {"fat_g": 6.0, "water_g": 3.0}, tags=frozenset({"buttermilk"})
)
BUTTER_OIL = own_ingredient("Butter oil", Kind.MILK, {"fat_g": 100.0, "water_g": 0.0})
SKIM = own_ingredient("Skimmed milk powder", Kind.MILK, {"fat_g": 1.0, "water_g": 3.0})


def of(*parts: tuple[object, float], form: Form = Form.BAR) -> Recipe:
    return Recipe(
        "bar",
        form,
        tuple(part(thing, mass_g, label=f"part {n}") for n, (thing, mass_g) in enumerate(parts)),  # type: ignore[arg-type]
    )


def said(recipe: Recipe, jurisdiction: str, key: str) -> Allowed:
    return verdict(recipe, jurisdiction, key, memory_rules=True).allowed


# Annex I A.4(b): 20 dry cocoa solids, 12 milk solids, 12 fat. Cocoa butter alone reaches all three.
@pytest.mark.parametrize("jurisdiction", ["eu", "uk", "codex"])
def test_white_chocolate_in_flakes_is_no_milk_chocolate_flakes(jurisdiction: str) -> None:
    white = weighed(Form.FLAKES, butter=28.0, milk=22.0, sugar=50.0)
    assert said(white, jurisdiction, "milk_vermicelli") is Allowed.NO
    assert best(white, jurisdiction).startswith("white")


@pytest.mark.parametrize("jurisdiction", ["eu", "uk"])
def test_any_fat_free_cocoa_makes_milk_chocolate_flakes(jurisdiction: str) -> None:
    # A reading: the table of the directive has no least of it, Codex has 2.5 %.
    speckled = weighed(Form.FLAKES, mass=0.01, butter=28.0, milk=22.0, sugar=49.99)
    assert said(speckled, jurisdiction, "milk_vermicelli") is Allowed.YES
    assert said(speckled, "codex", "milk_vermicelli") is Allowed.NO
    lacking = verdict(
        weighed(Form.FLAKES, butter=28.0, milk=22.0, sugar=50.0), jurisdiction, "milk_vermicelli"
    ).lacking
    assert [lack.sentence for lack in lacking] == [
        "fat-free dry cocoa solids: it holds none, and some is asked"
    ]


def with_fat(name: str) -> Recipe:
    fat = own_ingredient(name, Kind.VEGETABLE_FAT, {"fat_g": 100.0, "water_g": 0.0})
    return of((MASS, 66.0), (SUGAR, 30.0), (fat, 4.0))


SIX = [
    "Illipe butter",
    "Palm oil",
    "Palm mid fraction",
    "Sal stearin",
    "Shea oil",
    "Kokum gurgi",
    "Mango kernel",
]
# Annex II: coconut only in coatings for ice, and the fats are not lauric, which palm kernel and babassu are.
LAURIC = ["Coconut oil", "Palm kernel oil", "PALM-KERNEL stearin", "Palmkernel fat", "Babassu oil"]


@pytest.mark.parametrize("jurisdiction", ["eu", "uk"])
def test_the_six_vegetable_fats_of_the_directive_and_no_other(jurisdiction: str) -> None:
    assert {said(with_fat(name), jurisdiction, "chocolate") for name in SIX} == {Allowed.YES}
    assert {said(with_fat(name), jurisdiction, "chocolate") for name in LAURIC} == {Allowed.NO}
    for name in ("Salad oil", "Universal fat", "Palmetto oil", "House blend"):
        assert said(with_fat(name), jurisdiction, "chocolate") is Allowed.DEPENDS


def test_eurasian_vegetable_fat_is_an_equivalent_of_cocoa_butter() -> None:
    # Change no. 3: equivalents and SOS improvers together at most 5 %. Which fats are such is a reading.
    for name in (*LAURIC, "Sunflower oil"):
        assert said(with_fat(name), "eaeu", "dark") is Allowed.NO
    for name in ("Shea stearin", "Cocoa butter equivalent"):
        assert said(with_fat(name), "eaeu", "dark") is Allowed.YES
    assert said(with_fat("Palm oil"), "eaeu", "dark") is Allowed.DEPENDS


@pytest.mark.parametrize("jurisdiction", ["ch", "tr"])
def test_a_list_of_fats_that_was_not_seen_is_a_question(jurisdiction: str) -> None:
    found = verdict(with_fat("Shea stearin"), jurisdiction, "chocolate", memory_rules=True)
    assert found.allowed is Allowed.DEPENDS
    assert found.depends_on == "only if Shea stearin is on the list of vegetable fats, which was not seen"
    assert said(DARK, jurisdiction, "chocolate") is Allowed.YES


# Buttermilk 25 g bring 24.25 g of solids; Annex I A.4 lists milk, cream, butter and milk fat, not buttermilk.
@pytest.mark.parametrize("jurisdiction", ["eu", "uk", "ch", "tr"])
def test_buttermilk_does_not_make_milk_chocolate(jurisdiction: str) -> None:
    alone = of((MASS, 20.0), ("cocoa_butter", 20.0), (BUTTERMILK, 25.0), (SUGAR, 35.0))
    richer = of((MASS, 20.0), ("cocoa_butter", 20.0), (BUTTERMILK, 25.0), (BUTTER_OIL, 4.0), (SUGAR, 31.0))
    milky = {"milk", "skimmed", "family_milk", "cream", "milk_couverture", "quality_milk"}
    assert not milky & allowed(alone, jurisdiction)
    assert not milky & allowed(richer, jurisdiction)
    reasons = [lack.reason for lack in verdict(alone, jurisdiction, "milk", memory_rules=True).lacking]
    assert reasons[0] == "Buttermilk powder is not among the milks whose solids count"


@pytest.mark.parametrize(("milk_g", "name"), [(14.44, Allowed.YES), (14.42, Allowed.NO)])
def test_beside_buttermilk_the_other_milk_has_to_reach_the_figure(milk_g: float, name: Allowed) -> None:
    # 14 / 0.97 = 14.433 g of whole milk powder in 100 g.
    bar = of((MASS, 20.0), ("cocoa_butter", 20.0), (BUTTERMILK, 5.0), (MILK_POWDER, milk_g))
    full = of(*[(each.of, each.mass_g) for each in bar.parts], (SUGAR, 100.0 - bar.total_g))
    assert said(full, "eu", "milk") is name


# 163.140(a)(1): skim milks and nonfat dry milk. 12 / 0.97 = 12.371 g of powder; the liquor is 12.1 %.
@pytest.mark.parametrize(("milk_g", "name"), [(12.38, Allowed.YES), (12.36, Allowed.NO)])
def test_us_skim_milk_chocolate_takes_skim_milk_only(milk_g: float, name: Allowed) -> None:
    bar = of((MASS, 12.0), ("cocoa_butter", 20.0), (SKIM, milk_g), (SUGAR, 68.0 - milk_g))
    assert said(bar, "us", "skim_milk") is name
    lean = of((MASS, 12.0), ("cocoa_butter", 20.0), (SKIM, 20.0), (MILK_POWDER, 1.0), (SUGAR, 47.0))
    assert said(lean, "us", "skim_milk") is Allowed.NO
    butter = of((MASS, 12.0), ("cocoa_butter", 20.0), (SKIM, 20.0), (BUTTERMILK, 1.0), (SUGAR, 47.0))
    assert said(butter, "us", "skim_milk") is Allowed.NO


def test_milk_without_figures_may_or_may_not_be_skim() -> None:
    chocolate = own_ingredient(
        "Bought milk chocolate",
        Kind.OTHER_FOOD,
        {"cocoa_butter_g": 26.0, "cocoa_fat_free_dry_g": 6.0, "milk_fat_g": 1.0, "milk_solids_nonfat_g": 14.0}
        | {"fat_g": 27.0, "water_g": 1.0},
    )
    bar = of((MASS, 20.0), (SKIM, 14.0), (chocolate, 10.0), (SUGAR, 56.0))
    assert said(bar, "us", "skim_milk") is Allowed.DEPENDS


def test_us_milk_chocolate_of_buttermilk_alone_is_a_question() -> None:
    # Buttermilk chocolate has 163.135 to itself; whether it may go as milk chocolate is a reading.
    rich = own_ingredient("Rich", Kind.MILK, {"fat_g": 16.0, "water_g": 3.0}, tags=frozenset({"buttermilk"}))
    alone = of((MASS, 20.0), ("cocoa_butter", 10.0), (rich, 25.0), (SUGAR, 45.0))
    mended = of((MASS, 20.0), ("cocoa_butter", 10.0), (rich, 25.0), (BUTTER_OIL, 1.0), (SUGAR, 44.0))
    mixed = of((MASS, 20.0), ("cocoa_butter", 10.0), (rich, 24.0), (SKIM, 1.0), (SUGAR, 45.0))
    assert [said(bar, "us", "milk") for bar in (alone, mended, mixed)] == [
        Allowed.DEPENDS,
        Allowed.DEPENDS,
        Allowed.YES,
    ]


LARD = own_ingredient(
    "Lard", Kind.OTHER_FOOD, {"fat_g": 100.0, "water_g": 0.0}, tags=frozenset({"animal_fat"})
)


@pytest.mark.parametrize(
    ("jurisdiction", "key"), [("eaeu", "bitter"), ("eaeu", "chocolate"), ("tr", "chocolate")]
)
def test_no_animal_fat_but_that_of_milk(jurisdiction: str, key: str) -> None:
    assert said(of((MASS, 70.0), (SUGAR, 30.0)), jurisdiction, key) is Allowed.YES
    assert said(of((MASS, 70.0), (SUGAR, 29.9), (LARD, 0.1)), jurisdiction, key) is Allowed.NO


@pytest.mark.parametrize("key", ["bitter", "dark"])
@pytest.mark.parametrize(("lean_g", "name"), [(14.0, Allowed.YES), (13.99, Allowed.NO)])
def test_eurasian_bitter_and_dark_hold_cocoa_and_not_butter_alone(
    key: str, lean_g: float, name: Allowed
) -> None:
    # A reading: both are kinds of chocolate, whose fat-free cocoa is 14 % at least.
    lean = own_ingredient("Fat-free cocoa", Kind.POWDER, {"fat_g": 0.0, "water_g": 0.0})
    assert said(of(("cocoa_butter", 50.0), (lean, lean_g), (SUGAR, 50.0 - lean_g)), "eaeu", key) is name
    assert said(of(("cocoa_butter", 60.0), (SUGAR, 40.0)), "eaeu", key) is Allowed.NO


def raisins(chocolate: Recipe, share: float) -> Recipe:
    parts = (part(chocolate, share, label="chocolate"), part("raisin", 100.0 - share))
    return Recipe("raisins", Form.BAR, parts)


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk", "ch", "tr"])
@pytest.mark.parametrize(("share", "name"), [(60.0, Allowed.YES), (59.99, Allowed.NO)])
def test_other_foods_are_forty_percent_at_the_most(jurisdiction: str, share: float, name: Allowed) -> None:
    assert said(raisins(DARK, share), jurisdiction, "chocolate") is name
    assert said(raisins(weighed(mass=100.0), share), jurisdiction, "cocoa_mass") is name


@pytest.mark.parametrize(
    ("jurisdiction", "key"), [("us", "semisweet"), ("ca", "dark"), ("in", "dark"), ("eaeu", "bitter")]
)
@pytest.mark.parametrize(("share", "name"), [(60.0, Allowed.YES), (59.99, Allowed.DEPENDS)])
def test_where_no_ceiling_on_other_foods_was_read_more_is_a_question(
    jurisdiction: str, key: str, share: float, name: Allowed
) -> None:
    assert said(raisins(DARK, share), jurisdiction, key) is name
    assert said(raisins(weighed(mass=100.0), share), jurisdiction, "cocoa_mass") is name


@pytest.mark.parametrize("key", ["bitter", "dark", "chocolate", "product"])
@pytest.mark.parametrize(("share", "name"), [(25.0, True), (24.99, False)])
def test_under_a_quarter_of_chocolate_it_is_no_eurasian_chocolate(key: str, share: float, name: bool) -> None:
    assert (said(raisins(DARK, share), "eaeu", key) is not Allowed.NO) is name


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk", "ch", "tr", "eaeu"])
def test_a_spoon_of_chocolate_in_raisins_has_no_name(jurisdiction: str) -> None:
    assert allowed(raisins(DARK, 5.0), jurisdiction) == set()
    assert allowed(raisins(weighed(mass=100.0), 5.0), jurisdiction) == set()


def test_turkish_chocolate_takes_neither_flour_nor_starch() -> None:
    # A reading: the communiqué is said to have the figures of the directive, and its bars come along.
    for thing in ("oat_flour", "sugar_powdered"):
        assert said(of((MASS, 66.0), (SUGAR, 28.0), (thing, 6.0)), "tr", "chocolate") is Allowed.NO


def gianduja(hazelnut_g: float, almond_g: float, raisin_g: float) -> Recipe:
    chocolate_g = 100.0 - hazelnut_g - almond_g - raisin_g
    parts = (
        part(weighed(mass=70.0, sugar=30.0), chocolate_g, label="chocolate"),
        part("hazelnut_paste", hazelnut_g),
        part("almond", almond_g),
        part("raisin", raisin_g),
    )
    return Recipe("gianduja", Form.BAR, tuple(each for each in parts if each.mass_g > 0))


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk"])
def test_a_gianduja_holds_forty_percent_of_chocolate(jurisdiction: str) -> None:
    # Nuts together 60 % (Annex I A.3(b)); that other foods stand inside these is a reading.
    assert "gianduja" not in allowed(gianduja(39.0, 20.0, 40.0), jurisdiction)
    assert "gianduja" in allowed(gianduja(30.0, 20.0, 10.0), jurisdiction)
    assert "gianduja" not in allowed(gianduja(30.0, 20.0, 10.01), jurisdiction)
    assert "gianduja" in allowed(gianduja(30.0, 30.0, 0.0), jurisdiction)


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk"])
def test_peanuts_are_no_nuts_of_a_gianduja(jurisdiction: str) -> None:
    def bar(peanut_g: float) -> Recipe:
        return of((MASS, 26.0), (SUGAR, 54.0 - peanut_g), ("hazelnut_paste", 20.0), ("peanut", peanut_g))

    # Other foods besides nuts stay at 40 %.
    assert "gianduja" in allowed(bar(40.0), jurisdiction)
    assert "gianduja" not in allowed(bar(40.01), jurisdiction)


# Base of 40 g in 100 g: milk fat 3.5 % of it is 1.4 g, cocoa butter and milk fat 25 % are 10 g.
@pytest.mark.parametrize("jurisdiction", ["eu", "uk"])
@pytest.mark.parametrize(
    ("milk_fat_g", "butter_g", "name"),
    [(1.4, 8.6, True), (1.39, 8.61, False), (1.4, 8.59, False), (2.0, 8.0, True)],
)
def test_gianduja_milk_is_milk_chocolate_in_its_fats(
    jurisdiction: str, milk_fat_g: float, butter_g: float, name: bool
) -> None:
    lean = own_ingredient("Fat-free cocoa", Kind.POWDER, {"fat_g": 0.0, "water_g": 0.0})
    dry = own_ingredient("Fat-free milk", Kind.MILK, {"fat_g": 0.0, "water_g": 0.0})
    base = of(
        (BUTTER_OIL, milk_fat_g),
        ("cocoa_butter", butter_g),
        (lean, 4.0),
        (dry, 5.0),
        (SUGAR, 31.0 - milk_fat_g - butter_g),
    )
    bar = Recipe("gianduja", Form.BAR, (*base.parts, part("hazelnut_paste", 35.0), part("hazelnut", 25.0)))
    assert ("gianduja_milk" in allowed(bar, jurisdiction)) is name


@pytest.mark.parametrize("jurisdiction", ["eu", "uk", "ch", "in", "tr"])
@pytest.mark.parametrize(
    ("bar", "mass"),
    [
        ({"mass": 100.0}, True),
        # 54 + 0.46 b = 60 at b = 13.043 of 100 g.
        ({"mass": 86.96, "butter": 13.04}, True),
        ({"mass": 86.94, "butter": 13.06}, False),
        ({"mass": 50.0, "butter": 50.0}, False),
        ({"cocoa_powder_natural": 100.0}, False),
    ],
)
def test_cocoa_alone_is_cocoa_mass_within_its_butter(
    jurisdiction: str, bar: dict[str, float], mass: bool
) -> None:
    # CXS 141: 47 to 60 % cocoa butter. That it holds here is a reading; 100 % cocoa it is in any case.
    names = allowed(weighed(Form.BAR, **bar), jurisdiction)
    assert names == ({"cocoa_mass", "cocoa_only"} if mass else {"cocoa_only"})


@pytest.mark.parametrize(("butter", "name"), [(13.04, True), (13.06, False)])
def test_canadian_cocoa_mass_has_an_upper_end(butter: float, name: bool) -> None:
    assert ("cocoa_mass" in allowed(weighed(mass=100.0 - butter, butter=butter), "ca")) is name


def test_canadian_cocoa_mass_has_a_lower_end() -> None:
    for fat, name in ((50.0, True), (49.99, False)):
        mass = own_ingredient("Mass", Kind.MASS, {"fat_g": fat, "water_g": 1.0})
        assert ("cocoa_mass" in allowed(of((mass, 100.0)), "ca")) is name


def filled(shell_nuts_g: float, form: Form) -> Recipe:
    cream = own_ingredient("Fruit cream", Kind.OTHER_FOOD, {"fat_g": 10.0, "water_g": 20.0})
    parts = (
        part(DARK, 25.0, label="shell"),
        part("almond", shell_nuts_g),
        part(cream, 75.0 - shell_nuts_g, stage=Stage.FILLING),
    )
    return Recipe("piece", form, tuple(each for each in parts if each.mass_g > 0))


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk", "ch"])
def test_nuts_in_the_shell_are_no_chocolate_in_either_name(jurisdiction: str) -> None:
    for form, key in ((Form.FILLED, "filled"), (Form.PRALINE, "praline")):
        assert key in allowed(filled(10.0, form), jurisdiction)
        short = Recipe("piece", form, (*filled(10.0, form).parts, part("raisin", 0.1, stage=Stage.FILLING)))
        assert key not in allowed(short, jurisdiction)


def test_swiss_vegetable_fat_is_a_share_of_all_but_other_foods() -> None:
    # 4.99 g of 100 g is inside 5 %; of the 99 g without emulsifier, the basis of the rest, it is 5.04.
    def bar(fat_g: float) -> Recipe:
        return of((MASS, 66.0), (SUGAR, 33.0 - fat_g), ("shea_stearin", fat_g), ("lecithin_soy", 1.0))

    assert said(bar(4.99), "ch", "chocolate") is Allowed.DEPENDS  # on the list of fats alone
    assert said(bar(5.01), "ch", "chocolate") is Allowed.NO


def test_the_oil_inside_nuts_is_no_edible_oil_of_australia() -> None:
    # 50 g/kg of edible oils, from memory. 40 g of hazelnuts bring 24 g of oil of their own.
    nutty = of((MASS, 40.0), (SUGAR, 20.0), ("hazelnut", 40.0))
    assert said(nutty, "au-nz", "chocolate") is Allowed.YES
    for fat_g, name in ((5.0, Allowed.YES), (5.01, Allowed.NO)):
        oily = of((MASS, 40.0), (SUGAR, 60.0 - fat_g), ("shea_stearin", fat_g))
        assert said(oily, "au-nz", "chocolate") is name


@pytest.mark.parametrize(("butter", "name"), [(35.0, True), (34.99, False)])
def test_japanese_white_chocolate_may_stand_on_its_cocoa_alone(butter: float, name: bool) -> None:
    # The table of the council: 35 dry cocoa solids and 18 cocoa butter, milk free. Its milk fat is under 3 %.
    bar = of(("cocoa_butter", butter), (SKIM, 5.0), (SUGAR, 95.0 - butter))
    assert ("white_basic" in allowed(bar, "jp")) is name
    assert "white" not in allowed(bar, "jp")


def test_coarse_nuts_take_part_in_the_us_ceiling_and_ground_ones_do_not() -> None:
    def bar(grind: Grind) -> Recipe:
        parts = (part(MASS, 50.0), part(SUGAR, 9.0), part("almond", 41.0, grind=grind))
        return Recipe("nuts", Form.BAR, parts)

    assert said(bar(Grind.PIECES), "us", "semisweet") is Allowed.DEPENDS
    assert said(bar(Grind.REFINED), "us", "semisweet") is Allowed.YES
