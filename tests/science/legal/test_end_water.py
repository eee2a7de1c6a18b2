"""The water a kit leaves is a range, and a water that nobody gave is one too: names at their ends."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law_recipes import verdict
from nibsmith.science.kit import kit
from nibsmith.science.legal import Allowed, declared_cocoa, judge_all, jurisdictions, requirements
from nibsmith.science.mixture import Form, Ingredient, Kind, Recipe, Span, at_fat, own_ingredient, part

KEYS = tuple(jurisdictions())
STONE = kit("stone").end_water_percent or Span.exactly(1.0)
GROUND = ("cocoa_nibs_raw", "cocoa_nibs_roasted", "cocoa_mass", "cocoa_butter", "sugar_granulated")
MORE = ("milk_powder_whole", "lecithin_soy", "cinnamon", "oat_flour", "shea_stearin", "sugar_powdered")
WATERS = st.floats(STONE.low, STONE.high)


def bar(**masses_g: float) -> Recipe:
    return Recipe("bar", Form.BAR, tuple(part(key, mass_g) for key, mass_g in masses_g.items()))


@st.composite
def ground_bars(draw: st.DrawFn) -> Recipe:
    masses = st.floats(0.5, 60.0)
    masses_g = draw(st.dictionaries(st.sampled_from(GROUND), masses, min_size=2, max_size=5))
    masses_g |= draw(st.dictionaries(st.sampled_from(MORE), st.floats(0.1, 10.0), max_size=3))
    return bar(**masses_g)


def allowed(recipe: Recipe, water: Span | float | None) -> Mapping[tuple[str, str], Allowed]:
    verdicts = judge_all(recipe, KEYS, end_water_percent=water)
    return {(each.jurisdiction, each.key): each.allowed for each in verdicts}


def settled(recipe: Recipe, data: st.DataObject) -> Recipe:
    """Settle every fat that varies somewhere in its range."""
    parts = []
    for each in recipe.parts:
        of = each.of
        assert isinstance(of, Ingredient)
        low, high = of.fat_low_g, of.fat_high_g
        known = of if low is None or high is None else at_fat(of, data.draw(st.floats(low, high)))
        parts.append(replace(each, of=known))
    return replace(recipe, parts=tuple(parts))


def test_the_cocoa_to_declare_is_that_of_the_wettest_mass() -> None:
    recipe = bar(cocoa_nibs_roasted=61.7, cocoa_butter=6.5, sugar_granulated=31.8)
    # 61.7 x 0.975 + 6.5 = 66.66 g dry cocoa in 98.45 g dry: at 1.2 % water 99.65 g, 66.9 %; at 1 % 67.03 %.
    assert declared_cocoa(recipe, "eu", "chocolate", end_water_percent=STONE) == 66
    assert declared_cocoa(recipe, "eu", "chocolate", end_water_percent=STONE.high) == 66
    assert declared_cocoa(recipe, "eu", "chocolate", end_water_percent=STONE.value) == 67


def test_a_name_depends_on_the_end_water_with_its_breakpoint() -> None:
    recipe = bar(cocoa_nibs_raw=36.5, cocoa_butter=0.3, sugar_granulated=63.2)
    found = verdict(recipe, "eu", "chocolate", end_water_percent=STONE)  # type: ignore[arg-type]
    assert found.allowed is Allowed.DEPENDS
    fat, water = (
        float(text)
        for text in re.findall(
            r"^only if your raw nibs have more than ([\d.]+) % fat and the finished mass has less than "
            r"([\d.]+) % water$",
            found.depends_on,
        )[0]
    )
    # 36.5 x 0.94 + 0.3 = 34.61 g dry cocoa of 97.797 g dry: 35 % of it at 1 - 0.35 x 97.797 / 34.61 = 1.10 %.
    assert water == pytest.approx(1.1, abs=0.05)
    raw = recipe.parts[0].of
    assert isinstance(raw, Ingredient)
    richer = replace(recipe, parts=(replace(recipe.parts[0], of=at_fat(raw, fat)), *recipe.parts[1:]))
    inside, outside = (
        verdict(richer, "eu", "chocolate", end_water_percent=end).allowed for end in (water, STONE.high)
    )
    assert (inside, outside) == (Allowed.YES, Allowed.NO)


@given(ground_bars(), WATERS, st.data())
def test_what_is_certain_stays_so_however_dry_the_mass_ends(
    recipe: Recipe, water: float, data: st.DataObject
) -> None:
    one = allowed(settled(recipe, data), water)
    for key, before in allowed(recipe, STONE).items():
        if before in (Allowed.YES, Allowed.NO):
            assert one[key] is before


@given(st.floats(34.5, 40.0), st.floats(0.0, 4.0), WATERS, st.data())
def test_inside_the_window_that_is_told_a_name_is_allowed(
    nibs_g: float, butter_g: float, water: float, data: st.DataObject
) -> None:
    recipe = bar(cocoa_nibs_raw=nibs_g, cocoa_butter=butter_g, sugar_granulated=100 - nibs_g - butter_g)
    found = verdict(recipe, "eu", "chocolate", end_water_percent=STONE)  # type: ignore[arg-type]
    if found.allowed is not Allowed.DEPENDS or "together" in found.depends_on:
        return
    one = settled(recipe, data)
    fat = one.parts[0].of.composition["fat_g"]  # type: ignore[union-attr]
    if _within(found.depends_on, fat, "fat") and _within(found.depends_on, water, "water"):
        assert verdict(one, "eu", "chocolate", end_water_percent=water).allowed is Allowed.YES


def _within(words: str, value: float, what: str) -> bool:
    ends = {"less": 100.0, "more": 0.0}
    for side, end in re.findall(rf"(less|more) than ([\d.]+) % {what}", words):
        ends[side] = float(end)
    for low, high in re.findall(rf"between ([\d.]+) and ([\d.]+) % {what}", words):
        ends = {"more": float(low), "less": float(high)}
    return ends["more"] < value < ends["less"]


@given(ground_bars(), st.sampled_from([*KEYS[:5], "jp"]))
def test_limits_to_be_sure_of_hold_at_both_ends_of_the_water(recipe: Recipe, jurisdiction: str) -> None:
    masses_g = {each.label: each.mass_g for each in recipe.parts}
    for key in ("chocolate", "sweet", "semisweet", "dark"):
        if (jurisdiction, key) not in allowed(recipe, None):
            continue
        sure = requirements(recipe, jurisdiction, key, end_water_percent=STONE, sure=True)
        if all(limit.gap(masses_g) == 0 for limit in sure):
            for end in (STONE.low, STONE.high):
                usual = requirements(recipe, jurisdiction, key, end_water_percent=end)
                assert all(limit.gap(masses_g) <= 1e-9 for limit in usual)


OWN = {"carb_g": 95.0, "sugars_g": 90.0}


def with_own_sugar(**more: float) -> Recipe:
    own = own_ingredient("Own sugar", Kind.SUGAR, {**OWN, **more})
    return Recipe("own", Form.BAR, (part("cocoa_nibs_roasted", 60.0), part(own, 40.0)))


def test_a_water_that_is_not_given_never_raises_the_cocoa_to_declare() -> None:
    unknown, dry = with_own_sugar(), with_own_sugar(water_g=0.0)
    # 58.5 g dry cocoa; the sugar dry, 98.5 / 0.988 = 99.7 g finished: 58.68 %.
    assert declared_cocoa(dry, "eu", "chocolate", end_water_percent=STONE) == 58
    assert declared_cocoa(unknown, "eu", "chocolate", end_water_percent=STONE) == 58
    assert declared_cocoa(unknown, "eu", "chocolate", end_water_percent=1.0) == 58


@given(st.floats(0.0, 5.0), st.floats(30.0, 70.0), WATERS)
def test_the_cocoa_to_declare_is_the_least_over_what_is_not_given(
    true_water: float, nibs_g: float, end: float
) -> None:
    own = own_ingredient("Own", Kind.SUGAR, {"carb_g": 95.0})
    known = own_ingredient("Own", Kind.SUGAR, {"carb_g": 95.0, "water_g": true_water})
    told, true = (
        declared_cocoa(
            Recipe("own", Form.BAR, (part("cocoa_nibs_roasted", nibs_g), part(of, 100 - nibs_g))),
            "eu",
            "chocolate",
            end_water_percent=water,
        )
        for of, water in ((own, STONE), (known, end))
    )
    assert told is not None
    assert true is not None
    assert told <= true


def test_a_name_at_its_edge_is_unknown_where_the_water_of_a_part_decides() -> None:
    # 34.1 g dry cocoa. With dry sugar the mass comes to 100 g: 34.2 %; with 5 % water in it 95.9 g: 35.6 %.
    own = own_ingredient("Own sugar", Kind.SUGAR, OWN)
    recipe = Recipe("edge", Form.BAR, (part("cocoa_nibs_roasted", 35.0), part(own, 65.0)))
    found = verdict(recipe, "eu", "chocolate", end_water_percent=STONE)  # type: ignore[arg-type]
    assert found.allowed is Allowed.UNKNOWN
    assert found.depends_on == (
        "dry cocoa solids, cocoa butter and fat-free dry cocoa solids hang on the water of Own sugar, "
        "which is not given"
    )


@given(ground_bars(), st.sampled_from([None, 1.0, STONE]))
def test_a_water_that_is_struck_is_never_taken_for_none(recipe: Recipe, water: Span | float | None) -> None:
    """Strike the water of one part: a name is then unknown or comes out as it would with it."""
    of = recipe.parts[0].of
    assert isinstance(of, Ingredient)
    rest = {column: value for column, value in of.composition.items() if column != "water_g"}
    bare = replace(of, composition=rest, fat_low_g=None, fat_high_g=None)
    fixed = replace(of, fat_low_g=None, fat_high_g=None)
    struck, full = (
        allowed(replace(recipe, parts=(replace(recipe.parts[0], of=one), *recipe.parts[1:])), water)
        for one in (bare, fixed)
    )
    for key, after in struck.items():
        assert after is Allowed.UNKNOWN or after is full[key] or full[key] in OPEN


OPEN = (Allowed.UNKNOWN, Allowed.DEPENDS)


def test_a_sugar_of_which_nothing_is_given_still_keeps_a_cap_on_sweetening() -> None:
    """US white chocolate, 163.124: at most 55 % sweetener; 45 g of 100 g is less, however dry."""
    bare = own_ingredient("Own sugar", Kind.SUGAR, {})
    milk = own_ingredient("Milk", Kind.MILK, {"fat_g": 26.0, "water_g": 3.0})
    parts = (part("cocoa_butter", 31.0), part(milk, 24.0), part(bare, 45.0))
    found = verdict(Recipe("white", Form.BAR, parts), "us", "white", end_water_percent=0.5)
    assert found.allowed is Allowed.YES, found.depends_on
