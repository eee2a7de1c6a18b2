"""The recipe file: what it says is read exactly, what it cannot say is refused with its place."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.answers.recipe_text import decode_recipe, label_of, read_recipe, write_recipe
from nibsmith.answers.recipe_text.reading import LONGEST_FILE
from nibsmith.answers.recipe_text.writing import same_ingredient
from nibsmith.science.errors import InputError, UnknownIngredient
from nibsmith.science.kit import Mould, kit
from nibsmith.science.mixture import (
    Form,
    Grind,
    Ingredient,
    Kind,
    Recipe,
    Stage,
    at_fat,
    in_machine,
    ingredient,
    part,
)


def rows(*parts: str, top: str = "") -> str:
    return top + "\n" + "\n".join(f"[[part]]\n{text}" for text in parts)


NIBS = 'ingredient = "cocoa_nibs_roasted"\n'
SUGAR = 'ingredient = "sugar_granulated"\n'


def test_shares_become_masses_of_one_kilogram_exactly() -> None:
    file = read_recipe(rows(NIBS + "share_percent = 66.7", SUGAR + "share_percent = 33.3"))
    assert [row.mass_g for row in file.recipe.parts] == [667.0, 333.0]
    assert file.by_shares
    assert not file.remarks


def test_masses_are_read_as_kitchen_quantities() -> None:
    file = read_recipe(rows(NIBS + 'mass = "1.2 kg"', SUGAR + 'mass = "1 lb 2 oz"'))
    assert file.recipe.part("cocoa_nibs_roasted").mass_g == 1200.0
    # 18 oz of 28.349523125 g: the international avoirdupois ounce
    assert file.recipe.part("sugar_granulated").mass_g == pytest.approx(18 * 28.349523125, rel=1e-15)
    assert not file.by_shares


def test_the_decimal_sign_of_the_file_settles_two_readings() -> None:
    text = rows(NIBS + 'mass = "1,500 g"')
    with pytest.raises(InputError) as refusal:
        read_recipe(text)
    assert refusal.value.field == "part[1].mass"
    assert read_recipe('decimal_sign = ","\n' + text).recipe.total_g == 1.5
    assert read_recipe('decimal_sign = "."\n' + text).recipe.total_g == 1500.0


def test_shares_typed_in_rounded_digits_are_used_and_said() -> None:
    file = read_recipe(rows(*(SUGAR + f'label = "{n}"\nshare_percent = 33.3' for n in "abc")))
    assert [row.mass_g for row in file.recipe.parts] == pytest.approx([1000 / 3] * 3, rel=1e-15)
    assert "99.9 %" in file.remarks[0]


@pytest.mark.parametrize(
    ("typed", "accepted"),
    [
        (("50.0", "50.1"), True),  # off by 0.1, half a unit of two last digits is 0.1
        (("50.0", "50.11"), False),  # off by 0.11, allowed 0.055
        (("50.00", "50.02"), False),
        (("50", "51"), True),
        (("50", "52"), False),
        (("1e2", "4"), False),  # a power of ten does not make the last digit coarser
    ],
)
def test_half_a_unit_of_the_last_typed_digit_a_row_and_no_more(
    typed: tuple[str, str], accepted: bool
) -> None:
    text = shares(*typed)
    if accepted:
        assert read_recipe(text).remarks
        return
    with pytest.raises(InputError, match="do not come to 100 %") as refusal:
        read_recipe(text)
    assert refusal.value.field == "part"


def test_an_own_analysis_keeps_unknown_what_it_does_not_give() -> None:
    text = rows(
        'ingredient = { name = "Yard nibs", kind = "nibs", fat_g = 54.0, water_g = 2.0, shell_percent = 1.7 }'
        '\nmass = "1 kg"'
    )
    made = read_recipe(text).recipe.parts[0]
    assert isinstance(made.of, Ingredient)
    assert made.kind is Kind.NIB
    assert made.of.composition == {"fat_g": 54.0, "water_g": 2.0}
    assert made.of.shell_percent == 1.7
    assert made.of.germ_percent is None
    assert not made.of.allergens_known


def test_the_carbohydrate_of_a_european_sheet_gets_its_fibre() -> None:
    sheet = "{ name = 'x', kind = 'mass', carb_without_fibre_g = 12.3, fibre_g = 16.0 }"
    made = read_recipe(rows(f"ingredient = {sheet}\nmass = '1 kg'")).recipe.parts[0].of
    assert isinstance(made, Ingredient)
    assert made.composition == {"carb_g": pytest.approx(28.3), "fibre_g": 16.0}


def test_an_empty_list_of_allergens_says_that_there_are_none() -> None:
    sheet = '{ name = "Mass", kind = "mass", fat_g = 54, allergens_eu = [], allergens_us = [] }'
    made = read_recipe(rows(f'ingredient = {sheet}\nmass = "1 kg"')).recipe.parts[0].of
    assert isinstance(made, Ingredient)
    assert made.allergens_known


def test_the_fat_shell_and_germ_of_a_lot_go_into_its_ingredient() -> None:
    made = read_recipe(
        rows(NIBS + 'mass = "1 kg"\nfat_g = 52.5\nshell_percent = 1.1\ngerm_percent = 0.4')
    ).recipe
    leaf = made.parts[0].of
    assert isinstance(leaf, Ingredient)
    assert leaf.composition == at_fat(ingredient("cocoa_nibs_roasted"), 52.5).composition
    assert (leaf.shell_percent, leaf.germ_percent) == (1.1, 0.4)


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("mass", Kind.MASS),
        ("nib", Kind.NIB),
        ("Nibs", Kind.NIB),
        ("butter", Kind.BUTTER),
        ("powder", Kind.POWDER),
        ("bean", Kind.BEAN),
        ("beans", Kind.BEAN),
        ("other food", Kind.OTHER_FOOD),
        ("vegetable-fat", Kind.VEGETABLE_FAT),
    ],
)
def test_kinds_are_read_by_key_and_by_the_short_words_of_the_trade(word: str, kind: Kind) -> None:
    assert read_recipe(rows(SUGAR + f'mass = "1 kg"\nkind = "{word}"')).recipe.parts[0].kind is kind


def test_stage_grind_label_price_and_form_are_read() -> None:
    text = rows(
        NIBS + 'mass = "1 kg"',
        NIBS
        + 'mass = "50 g"\nlabel = "on top"\nstage = "on the back"\ngrind = "pieces"\nprice_per_kg = 18.40',
        top='name = "Terrace"\nform = "drinking tablet"',
    )
    recipe = read_recipe(text).recipe
    top = recipe.part("on top")
    assert (top.stage, top.grind, top.price_per_kg) == (Stage.ON_BACK, Grind.PIECES, Decimal("18.40"))
    assert (recipe.name, recipe.form) == ("Terrace", Form.DRINKING)


def test_a_recipe_may_be_a_part_of_another() -> None:
    text = rows(
        'recipe = "base"\nshare_percent = 80',
        'ingredient = "milk_powder_whole"\nshare_percent = 20',
    )
    text += '\n[recipes.base]\nname = "Base"\n[[recipes.base.part]]\n' + NIBS + "share_percent = 75"
    text += "\n[[recipes.base.part]]\n" + SUGAR + "share_percent = 25"
    recipe = read_recipe(text).recipe
    grams = {leaf.ingredient.key: leaf.mass_g for leaf in recipe.leaves()}
    assert grams == pytest.approx(
        {"cocoa_nibs_roasted": 600, "sugar_granulated": 200, "milk_powder_whole": 200}
    )
    assert recipe.parts[0].label == "Base"


def test_a_recipe_inside_itself_is_refused() -> None:
    text = rows('recipe = "a"\nmass = "1 kg"')
    for name, inner in (("a", "b"), ("b", "a")):
        text += f'\n[[recipes.{name}.part]]\nrecipe = "{inner}"\nmass = "1 kg"'
    with pytest.raises(InputError, match="inside itself") as refusal:
        read_recipe(text)
    assert refusal.value.value == "a -> b -> a"
    assert refusal.value.field == 'recipes."b".part[1].recipe'


def test_recipes_that_multiply_are_refused_before_they_are_opened() -> None:
    text = rows('recipe = "r0"\nmass = "1 kg"')
    for level in range(12):
        for number in range(4):
            text += f'\n[[recipes.r{level}.part]]\nlabel = "{number}"\nrecipe = "r{level + 1}"\nmass = "1 kg"'
    text += "\n[[recipes.r12.part]]\n" + SUGAR + 'mass = "1 kg"'
    with pytest.raises(InputError, match="too many ingredients"):
        read_recipe(text)


def inclusions(*typed: str, workshop: str = "") -> list[float]:
    text = workshop + rows(NIBS + "share_percent = 70", SUGAR + "share_percent = 30", *typed)
    return [row.mass_g for row in read_recipe(text).recipe.parts]


def test_an_inclusion_per_100_g_of_chocolate_is_on_top_of_the_shares() -> None:
    nibs, sugar, nuts = inclusions('ingredient = "almond"\ng_per_100g_chocolate = 25')
    assert nuts / (nibs + sugar) == pytest.approx(0.25, rel=1e-12)
    assert nibs / sugar == pytest.approx(7 / 3, rel=1e-12)
    assert nibs + sugar + nuts == pytest.approx(1000, rel=1e-12)


def test_an_inclusion_per_bar_is_a_share_of_the_bar() -> None:
    workshop = '[workshop]\nmould = "80 g"\n'
    nibs, sugar, nuts = inclusions('ingredient = "almond"\ng_per_bar = 12', workshop=workshop)
    assert nuts / (nibs + sugar + nuts) == pytest.approx(12 / 80, rel=1e-12)


def test_inclusions_of_both_ways_add_up() -> None:
    workshop = '[workshop]\nmould = "80 g"\n'
    per_bar, per_chocolate = (
        'ingredient = "almond"\ng_per_bar = 12',
        'ingredient = "pistachio"\ng_per_100g_chocolate = 10',
    )
    nibs, sugar, almond, pistachio = inclusions(per_bar, per_chocolate, workshop=workshop)
    assert almond / (nibs + sugar + almond + pistachio) == pytest.approx(12 / 80, rel=1e-12)
    assert pistachio / (nibs + sugar) == pytest.approx(0.10, rel=1e-12)


@pytest.mark.parametrize("said", ["in the file", "on the command line"])
def test_an_inclusion_is_counted_on_what_is_left_once_the_kit_has_dried_the_mass(said: str) -> None:
    workshop = '[workshop]\nmould = "80 g"\n' + ('kit = "stone"\n' if said == "in the file" else "")
    typed = ('ingredient = "almond"\ng_per_bar = 12', 'ingredient = "pistachio"\ng_per_100g_chocolate = 10')
    text = workshop + rows(NIBS + "share_percent = 70", SUGAR + "share_percent = 30", *typed)
    recipe = read_recipe(text, kit=None if said == "in the file" else kit("stone")).recipe
    # The stone leaves 1 % of water: what is dry in the charge is 99 % of the chocolate.
    charge_g, water_g = in_machine(recipe).mass_g, in_machine(recipe).amount("water").value
    chocolate_g = (charge_g - water_g) / 0.99
    almond_g, pistachio_g = (recipe.part(label).mass_g for label in ("almond", "pistachio"))
    assert pistachio_g / chocolate_g == pytest.approx(0.10, rel=1e-12)
    assert almond_g / (chocolate_g + almond_g + pistachio_g) == pytest.approx(12 / 80, rel=1e-12)
    assert recipe.total_g == pytest.approx(1000, rel=1e-12)


def test_a_kit_given_goes_before_that_of_the_file() -> None:
    base = '[workshop]\nkit = "stone"\n' + rows(NIBS + "share_percent = 70", SUGAR + "share_percent = 30")
    text = base + rows('ingredient = "almond"\ng_per_100g_chocolate = 10')
    nibs, sugar, almond = (row.mass_g for row in read_recipe(text, kit=kit("blender")).recipe.parts)
    # A blender dries nothing.
    assert almond / (nibs + sugar) == pytest.approx(0.10, rel=1e-12)
    nibs, sugar, almond = (row.mass_g for row in read_recipe(text).recipe.parts)
    assert almond / (nibs + sugar) < 0.0999


def test_where_the_water_of_a_part_is_not_known_none_is_taken_to_leave() -> None:
    own_nibs = 'ingredient = { name = "Lot 12", kind = "nibs", fat_g = 54.0 }\nshare_percent = 70'
    typed = 'ingredient = "almond"\ng_per_100g_chocolate = 10'
    text = '[workshop]\nkit = "stone"\n' + rows(own_nibs, SUGAR + "share_percent = 30", typed)
    nibs, sugar, almond = (row.mass_g for row in read_recipe(text).recipe.parts)
    assert almond / (nibs + sugar) == pytest.approx(0.10, rel=1e-12)


def test_one_row_may_be_the_rest() -> None:
    file = read_recipe(rows(NIBS + "share_percent = 61.5", SUGAR + 'share_percent = "the rest"'))
    assert [row.mass_g for row in file.recipe.parts] == [615.0, 385.0]


def test_what_is_in_the_bowl_is_found_by_label_or_ingredient() -> None:
    text = rows(NIBS + 'mass = "1 kg"', SUGAR + 'mass = "400 g"\nlabel = "sugar"')
    text += '\n[[in_bowl]]\ningredient = "sugar_granulated"\nmass = "450 g"'
    bowl = read_recipe(text).in_bowl
    assert bowl.parts_g == {"sugar": 450.0}
    assert not bowl.foreign


def test_what_is_in_the_bowl_and_not_in_the_recipe_is_kept_apart() -> None:
    text = rows(NIBS + 'mass = "1 kg"') + '\n[[in_bowl]]\ningredient = "almond"\nmass = "50 g"'
    bowl = read_recipe(text).in_bowl
    assert not bowl.parts_g
    assert [(thing.label, thing.mass_g) for thing in bowl.foreign] == [("almond", 50.0)]


def test_limits_are_handed_on_as_typed() -> None:
    text = rows(NIBS + 'mass = "1 kg"') + "\n[limits]\nsugars_percent = { max = 40.0 }"
    assert read_recipe(text).limits == {"sugars_percent": {"max": Decimal("40.0")}}


def test_the_workshop_is_read() -> None:
    text = (
        '[workshop]\nkit = "stone"\nmould = "70 g"\ncavities = 4\nscale = "0.1 g"\nmarkets = ["eu", "us"]\n'
    )
    text += 'currency = "CHF"\nbean_yield_percent = 78\nuses_lecithin = true\nbars = 24\n' + rows(
        NIBS + 'mass = "1 kg"'
    )
    said = read_recipe(text).workshop
    assert said.kit is not None
    assert said.kit.key == "stone"
    assert said.mould == Mould("70 g", 70.0, 4)
    assert (said.scale_g, said.markets, said.bars) == (Decimal("0.1"), ("eu", "us"), 24)
    assert (said.currency, said.bean_yield, said.uses_lecithin) == ("CHF", Decimal("0.78"), True)


KILO = 'mass = "1 kg"\n'
ONE = rows(NIBS + KILO)


def own(**sheet: str) -> str:
    """Return a recipe of one part with an analysis of its own."""
    inside = ", ".join(f"{key} = {value}" for key, value in sheet.items())
    return rows(f"ingredient = {{ {inside} }}\n{KILO}")


def shares(*typed: str) -> str:
    return rows(
        *(f"{head}share_percent = {number}" for head, number in zip((NIBS, SUGAR), typed, strict=False))
    )


MASS_SHEET = {"name": "'x'", "kind": "'mass'"}
NIB_SHEET = {"name": "'x'", "kind": "'nib'", "fat_g": "54"}
NUTS = "ingredient = 'almond'\n"
IN_BOWL = ONE + "[[in_bowl]]\n"
WORKSHOP = ONE + "[workshop]\n"

REFUSED = [
    ("", "has no parts", ""),
    (rows(KILO), "not said what this part is", "part[1]"),
    (rows(NIBS), "has no amount", "part[1]"),
    (rows(NIBS + KILO + "share_percent = 100"), "has 2 amounts", "part[1]"),
    (rows(NIBS + KILO, SUGAR + "share_percent = 30"), "mixed", "part[2].share_percent"),
    (rows(NIBS + "mass = 120"), "needs its unit", "part[1].mass"),
    (rows(NIBS + "mass = 120.5"), "needs its unit", "part[1].mass"),
    (rows(NIBS + 'mass = "2 cups"'), "not a mass", "part[1].mass"),
    (rows(NIBS + 'mass = "-5 g"'), "dash", "part[1].mass"),
    (rows(NIBS + 'mass = "0 g"'), "zero", "part"),
    (shares("120", "-20"), "too large", "part[1].share_percent"),
    (shares("70", "-30"), "negative", "part[2].share_percent"),
    (shares("nan"), "not a number", "part[1].share_percent"),
    (shares("inf"), "not a number", "part[1].share_percent"),
    (shares("-inf"), "not a number", "part[1].share_percent"),
    (shares("'100'"), "number without quotes", "part[1].share_percent"),
    (shares("true"), "number without quotes", "part[1].share_percent"),
    (shares("1999-01-01"), "number without quotes", "part[1].share_percent"),
    (shares("'the rest'", "'the rest'"), "Only one row", "part[2].share_percent"),
    (shares("0.1234567890123", "50"), "too many digits", "part[1].share_percent"),
    (shares("60", "44"), "do not come to 100", "part"),
    (rows(NIBS + KILO, NIBS + KILO), "same label", "part[2]"),
    (rows(NIBS + KILO + "share_precent = 1"), "not a key known here", "part[1]"),
    (rows(NIBS + KILO, top="nmae = 'x'"), "not a key known here", ""),
    (rows(NIBS + KILO, top="form = 'barr'"), "not a form known here", "form"),
    (rows(NIBS + KILO, top="name = 7"), "must be text", "name"),
    (rows(NIBS + KILO, top="name = ' '"), "empty", "name"),
    (rows(NIBS + KILO, top='name = "a\\u001b[31mb"'), "cannot be shown", "name"),
    (rows(NIBS + KILO + 'stage = "later"'), "not a stage known here", "part[1].stage"),
    (rows(NIBS + KILO + "price_per_kg = -1"), "negative", "part[1].price_per_kg"),
    (rows(NIBS + KILO + "fat_g = 99"), "cannot hold this fat", "part[1].fat_g"),
    (rows("ingredient = 5\n" + KILO), "names no ingredient", "part[1].ingredient"),
    (own(kind="'mass'"), "needs a name", "part[1].ingredient.name"),
    (own(name="'x'", fat_g="54"), "is for the law is not said", "part[1].kind"),
    (own(**MASS_SHEET, fat_g="101"), "cannot be true", "part[1].ingredient.fat_g"),
    (own(**MASS_SHEET, fat_g="70", water_g="40"), "more than 100 g", "part[1].ingredient"),
    (own(**MASS_SHEET, carb_without_fibre_g="12"), "put together", "part[1].ingredient.carb_without_fibre_g"),
    (own(**MASS_SHEET, fta_g="54"), "not a key known here", "part[1].ingredient"),
    (own(**NIB_SHEET, fat_low_g="50"), "two ends", "part[1].ingredient.fat_low_g"),
    (own(**NIB_SHEET, fat_low_g="55", fat_high_g="56"), "usual value", "part[1].ingredient.fat_g"),
    (own(**NIB_SHEET, shell_percent="101"), "too large", "part[1].ingredient.shell_percent"),
    (rows("recipe = 'base'\n" + KILO), "no recipe of this name", "part[1].recipe"),
    ("part = 5", "list of tables", "part"),
    ("part = [5]", "not a table", "part[1]"),
    (rows(NIBS + KILO, top="limits = 5"), "must be a table", "limits"),
    (IN_BOWL + "label = 'sugar'\nmass = '1 g'", "no such part", "in_bowl[1].label"),
    (IN_BOWL + "ingredient = 'suger'\nmass = '1 g'", "No ingredient", "in_bowl[1].ingredient"),
    (IN_BOWL + "label = 'cocoa_nibs_roasted'\nmass = 5", "needs its unit", "in_bowl[1].mass"),
    (WORKSHOP + "kit = 'anvil'", "No kit", "workshop.kit"),
    (WORKSHOP + "bars = 2.5", "whole number", "workshop.bars"),
    (WORKSHOP + "loss_percent = 100", "cannot be true", "workshop.loss_percent"),
    (WORKSHOP + "loss_percent = -1", "negative", "workshop.loss_percent"),
    (WORKSHOP + "loss_percent = '2 %'", "without quotes", "workshop.loss_percent"),
    (WORKSHOP + "residue = 140", "its unit", "workshop.residue"),
    (WORKSHOP + "kit = 'blender'\nresidue = '1 kg'", "As much stays behind", "workshop.residue"),
    (WORKSHOP + "scale = '0 g'", "above zero", "workshop.scale"),
    (rows(NIBS + "share_percent = 100", NUTS + "g_per_bar = 5"), "weight of a bar", "part[2].g_per_bar"),
    (
        rows(NIBS + "share_percent = 90", NUTS + "share_percent = 10", "ingredient = 'pecan'\ng_per_bar = 5"),
        "in another way too",
        "part[2].share_percent",
    ),
    (rows(NIBS + "share_percent = 100", SUGAR + "g_per_bar = 5"), "not ground", "part[2].g_per_bar"),
    ("name = ", "not TOML", None),
    ("\x00", "not TOML", None),
    ("a = " + "9" * 5000, "not TOML", None),
    ("a = 1e99999999999999999999", "not a key|not TOML", ""),
    ("a = " + "[" * 5000, "nests too deep", None),
]


@pytest.mark.parametrize(("text", "what", "field"), REFUSED)
def test_bad_input_is_refused_with_one_line_and_its_place(text: str, what: str, field: str | None) -> None:
    with pytest.raises(InputError, match=what) as refusal:
        read_recipe(text)
    assert "\n" not in str(refusal.value)
    assert str(refusal.value).isprintable()
    assert refusal.value.field == field or (field == "" and refusal.value.field is None)


def test_an_unknown_ingredient_offers_near_names_and_puts_none_in_its_place() -> None:
    with pytest.raises(UnknownIngredient) as refusal:
        read_recipe(rows('ingredient = "cocoa_nibs_roastd"\nmass = "1 kg"'))
    assert "cocoa_nibs_roasted" in refusal.value.near
    assert refusal.value.field == "part[1].ingredient"


def test_a_mistyped_key_offers_the_near_one() -> None:
    with pytest.raises(InputError, match="share_precent") as refusal:
        read_recipe(rows(NIBS + "share_precent = 100"))
    assert refusal.value.advice == "Did you mean share_percent?"


def test_a_file_of_ten_megabytes_is_refused_by_its_size_alone() -> None:
    big = "x" * 10_000_000  # not TOML: the size must be refused before anything is read
    with pytest.raises(InputError, match="too large") as refusal:
        read_recipe(big)
    assert f"{LONGEST_FILE:,}" in str(refusal.value)
    with pytest.raises(InputError, match="too large"):
        decode_recipe(big.encode())


def test_a_byte_order_mark_is_no_part_of_the_file() -> None:
    text = rows(NIBS + 'mass = "1 kg"')
    assert read_recipe("\ufeff" + text).recipe.total_g == 1000.0
    assert decode_recipe(b"\xef\xbb\xbf" + text.encode()) == text


def test_broken_unicode_is_refused_with_its_place() -> None:
    with pytest.raises(InputError, match="not UTF-8") as refusal:
        decode_recipe(b"name = '\xff'")
    assert refusal.value.value == "byte 9"
    with pytest.raises(InputError, match="not UTF-8"):
        decode_recipe("name = 'x'".encode("utf-16"))


def test_a_word_means_a_part_by_label_key_or_name_and_never_two() -> None:
    recipe = Recipe(
        "bar",
        Form.BAR,
        (
            part("sugar_granulated", 1.0, label="first"),
            part("sugar_granulated", 1.0, label="second"),
            part("almond", 1.0),
        ),
    )
    assert label_of(recipe, "second") == "second"
    assert label_of(recipe, "Almonds") == "almond"
    with pytest.raises(InputError, match="Several parts") as refusal:
        label_of(recipe, "sugar_granulated")
    assert "first, second" in str(refusal.value)


def assert_same(one: Recipe, other: Recipe) -> None:
    """Compare two recipes; ingredients by what they say, masses to a picogram."""
    assert (one.name, one.form, one.notes) == (other.name, other.form, other.notes)
    assert len(one.parts) == len(other.parts)
    for left, right in zip(one.parts, other.parts, strict=True):
        for fact in ("label", "kind", "stage", "grind", "price_per_kg"):
            assert getattr(left, fact) == getattr(right, fact)
        assert left.mass_g == pytest.approx(right.mass_g, rel=0, abs=1e-12)  # the finest step that is written
        if isinstance(left.of, Recipe):
            assert isinstance(right.of, Recipe)
            assert_same(left.of, right.of)
        else:
            assert isinstance(right.of, Ingredient)
            assert same_ingredient(left.of, right.of)


def test_what_is_written_reads_back_as_the_same_recipe() -> None:
    text = rows(
        NIBS + 'label = "lot \\"7\\""\nmass = "700 g"\nfat_g = 53.1\nshell_percent = 1.2',
        'ingredient = { name = "Hut milk", kind = "milk", fat_g = 26, water_g = 3, allergens_eu = ["milk"] }'
        '\nmass = "2/3 oz"',
        'recipe = "premix"\nmass = "12.3450 g"\nstage = "late"',
        'ingredient = "almond"\nmass = "55 g"\nprice_per_kg = 11.25\ngrind = "whole"',
        top='name = "Nº 4 \\\\ test"\nform = "drops"\nnotes = { origin = "two lots" }',
    )
    text += '\n[[recipes.premix.part]]\ningredient = "lecithin_sunflower"\nshare_percent = 20'
    text += '\n[[recipes.premix.part]]\ningredient = "cocoa_butter"\nshare_percent = 80'
    recipe = read_recipe(text).recipe
    assert_same(read_recipe(write_recipe(recipe)).recipe, recipe)


def test_a_loss_is_read_without_a_kit() -> None:
    said = read_recipe('[workshop]\nresidue = "5 oz"\nloss_percent = 0\n' + ONE).workshop
    # An ounce is 28.349523125 g.
    assert (said.residue_g, said.loss_percent) == (Decimal("141.747615625"), 0)


def test_the_workshop_is_written_too() -> None:
    text = '[workshop]\nkit = "stone"\nmould = "62.5 g"\ncavities = 4\nbars = 24\nscale = "0.10 g"\n'
    text += 'residue = "140.50 g"\nloss_percent = 1.25\n'
    text += 'markets = ["eu", "us"]\ncurrency = "CHF"\nbean_yield_percent = 78.5\nuses_lecithin = false\n'
    file = read_recipe(text + rows(NIBS + 'mass = "1 kg"'))
    assert read_recipe(write_recipe(file.recipe, file.workshop)).workshop == file.workshop


def test_two_recipes_of_one_name_are_both_written() -> None:
    one = Recipe("base", Form.BAR, (part("cocoa_butter", 1.0),))
    two = Recipe("base", Form.BAR, (part("cocoa_mass", 1.0),))
    whole = Recipe("bar", Form.BAR, (part(one, 2.0, label="one"), part(two, 3.0, label="two")))
    assert_same(read_recipe(write_recipe(whole)).recipe, whole)


def test_a_number_of_too_many_digits_is_refused_in_a_makers_words() -> None:
    with pytest.raises(InputError, match="not TOML: a number in it has too many digits") as refused:
        read_recipe("[[part]]\ningredient = 'cocoa_mass'\nshare_percent = " + "1" * 5001)
    assert "sys." not in str(refused.value)
