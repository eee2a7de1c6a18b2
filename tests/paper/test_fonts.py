"""The typeface on paper has a sign for every word of ours."""

from __future__ import annotations

import pytest

from nibsmith.answers.context import Context
from nibsmith.answers.sheet import batch_sheet
from nibsmith.paper import unprintable
from nibsmith.paper.sheet import texts_of
from nibsmith.science.kit import kit, kits
from nibsmith.science.mixture import Form, Recipe, Stage, ingredients, part
from nibsmith.science.tables import read_text

TABLES = (
    "process.toml",
    "cautions.toml",
    "kits.toml",
    "ingredients.csv",
    "allergens.toml",
    "allergen_notes.toml",
)


@pytest.mark.parametrize("table", TABLES)
def test_every_word_of_the_tables_can_be_printed(table: str) -> None:
    assert unprintable([read_text(table)]) == ""


@pytest.mark.parametrize("key", [None, *kits()])
def test_every_word_of_a_sheet_can_be_printed(key: str | None) -> None:
    parts = (part(name, 10.0) for name in ingredients())
    bar = Recipe("All", Form.FILLED, (*parts, part("honey", 5.0, label="filling", stage=Stage.FILLING)))

    assert unprintable(texts_of(batch_sheet(bar, Context(kit=None if key is None else kit(key))))) == ""


@pytest.mark.parametrize(
    "text", ["Café Ñandú", "žluťoučký őr", "Какао", "σοκολάτα", "½ × 3 − 1 ≥ 2 °C €", "30 µm ℮"]
)
def test_latin_greek_and_cyrillic_can_be_printed(text: str) -> None:
    assert unprintable([text]) == ""


@pytest.mark.parametrize(
    ("text", "missing"), [("日本のカカオ", "日本のカカオ"), ("CO₂", "₂"), ("a 🍫 b 🍫", "🍫")]
)
def test_what_the_typeface_lacks_is_found_once_each(text: str, missing: str) -> None:
    assert unprintable([text]) == "".join(dict.fromkeys(missing))


def test_spaces_are_never_missing() -> None:
    assert unprintable(["a\u202fb\u00a0c\u2009d\te\nf"]) == ""
