"""Whatever text comes in: a recipe, or a refusal in one printable line."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nibsmith.answers.recipe_text import RecipeFile, decode_recipe, read_recipe, write_recipe
from nibsmith.answers.recipe_text.words import (
    IN_BOWL_KEYS,
    INGREDIENT_KEYS,
    PART_KEYS,
    RECIPE_KEYS,
    TOP_KEYS,
    WORKSHOP_KEYS,
)
from nibsmith.science.errors import NibsmithError
from nibsmith.science.mixture import Form, Grind, Kind, Recipe, Stage, ingredients, part

VALID = """name = "Hut bar"
form = "bar"
decimal_sign = "."
[workshop]
kit = "stone"
mould = "70 g"
[[part]]
ingredient = "cocoa_nibs_roasted"
share_percent = 45.5
[[part]]
ingredient = { name = "Own sugar", kind = "sugar", carb_g = 99.9, sugars_g = 99.9, water_g = 0 }
share_percent = 54.5
price_per_kg = 1.20
[[in_bowl]]
label = "Own sugar"
mass = "640 g"
[limits]
total_fat_percent = { min = 32 }
"""


def outcome(text: str | bytes) -> tuple[RecipeFile | None, str]:
    try:
        return read_recipe(decode_recipe(text) if isinstance(text, bytes) else text), ""
    except NibsmithError as error:
        return None, str(error)


def reads_or_refuses(text: str | bytes) -> None:
    file, refusal = outcome(text)
    if file is None:
        assert refusal.isprintable()
        return
    assert file.recipe.total_g > 0
    again = read_recipe(write_recipe(file.recipe)).recipe
    assert [row.label for row in again.parts] == [row.label for row in file.recipe.parts]
    # masses are written to 12 decimals of a gram
    assert [row.mass_g for row in again.parts] == pytest.approx(
        [row.mass_g for row in file.recipe.parts], rel=1e-15, abs=1e-12
    )


@given(st.text())
def test_any_text_reads_or_is_refused(text: str) -> None:
    reads_or_refuses(text)


@given(st.binary())
def test_any_bytes_are_text_or_are_refused(data: bytes) -> None:
    reads_or_refuses(data)


@given(st.integers(0, len(VALID)), st.integers(0, 12), st.text(max_size=6))
@settings(max_examples=300)
def test_a_good_file_with_a_piece_replaced_reads_or_is_refused(start: int, cut: int, put: str) -> None:
    reads_or_refuses(VALID[:start] + put + VALID[start + cut :])


WORDS = sorted(
    {
        *Kind,
        *Stage,
        *Grind,
        *Form,
        "mass",
        "nibs",
        "100 g",
        "1,500 g",
        "0 g",
        "1e3 g",
        ".",
        ",",
        "eu",
        "milk",
        "stone",
    }
    | {"cocoa_mass", "almond", "sugar_granulated", "a", "", "\x1b[2J", "\u202e", "é" * 200}
)
scalars = st.one_of(
    st.sampled_from(WORDS).map(json.dumps),
    st.decimals(allow_nan=False, allow_infinity=False).map(
        lambda number: f"{number:f}"[:40].rstrip(".") or "0"
    ),
    st.integers(-(10**30), 10**30).map(str),
    st.sampled_from(
        ["nan", "inf", "-inf", "true", "false", "1e400", "-0.0", "1e-400", "1999-01-01", "07:32:00"]
    ),
)


def inline(keys: tuple[str, ...], values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    rows = st.dictionaries(st.sampled_from(keys), values, max_size=6)
    return rows.map(lambda row: "{" + ", ".join(f"{key} = {value}" for key, value in row.items()) + "}")


def listed(values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.lists(values, max_size=4).map(lambda row: f"[{', '.join(row)}]")


sheets = inline(INGREDIENT_KEYS, scalars)
parts = inline(PART_KEYS, scalars | sheets)
recipes = inline(RECIPE_KEYS, scalars | listed(parts))
tops = inline(
    TOP_KEYS,
    scalars
    | listed(parts)
    | listed(inline(IN_BOWL_KEYS, scalars))
    | inline(WORKSHOP_KEYS, scalars | listed(scalars))
    | inline(("a", "b"), recipes),
)


@given(tops)
@settings(max_examples=500)
def test_any_values_under_any_keys_read_or_are_refused(table: str) -> None:
    keys = table[1:-1]
    # An inline table becomes the file itself; its values hold no line break, so each key gets a line.
    reads_or_refuses("\n".join(_top_level(keys)))


def _top_level(text: str) -> list[str]:
    lines, depth, quoted, start = [], 0, False, 0
    for place, sign in enumerate(text):
        quoted ^= sign == '"' and text[place - 1] != "\\"
        depth += 0 if quoted else (sign in "[{") - (sign in "]}")
        if sign == "," and not depth and not quoted:
            lines.append(text[start:place])
            start = place + 1
    return [*lines, text[start:]]


keys = st.sampled_from(sorted(ingredients()))
grams = st.decimals(min_value=Decimal("0.001"), max_value=10_000, places=3).map(float)
rows = st.builds(
    lambda key, mass, number, kind, stage: part(key, mass, label=f"{key} {number}", kind=kind, stage=stage),
    keys,
    grams,
    st.integers(0, 10**6),
    st.sampled_from(Kind),
    st.sampled_from(Stage),
)


@given(st.lists(rows, min_size=1, max_size=8, unique_by=lambda row: row.label), st.sampled_from(Form))
def test_a_written_recipe_reads_back_equal(parts: list, form: Form) -> None:  # type: ignore[type-arg]
    recipe = Recipe("Hut bar", form, tuple(parts))
    assert read_recipe(write_recipe(recipe)).recipe == recipe
