"""The list of ingredients on the command line."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from command_line import document, nibsmith
from nibsmith.science.mixture import ingredients

TABLE = Path(__file__).parents[2] / "src/nibsmith/science/tables/ingredients.csv"


def test_every_ingredient_of_the_table_is_listed_and_no_finished_chocolate() -> None:
    lines = nibsmith("ingredients").stdout.splitlines()
    first_words = {line.split(maxsplit=1)[0] for line in lines[1:] if line and not line.startswith(" ")}
    assert set(ingredients()) <= first_words
    assert not any(word.startswith("CHECK_") for word in first_words)


def test_words_are_looked_for_in_key_name_and_kind() -> None:
    found = {one["key"] for one in document("ingredients", "skimmed", "milk")}
    assert found == {"milk_powder_skim"}


def test_one_ingredient_is_shown_as_the_table_has_it() -> None:
    with TABLE.open(encoding="utf-8", newline="") as file:
        row = next(row for row in csv.DictReader(file) if row["key"] == "milk_powder_whole")
    one = document("ingredients", "milk_powder_whole")
    for column, value in one["per_100_g"].items():
        assert value == (float(row[column]) if row.get(column) else None)
    assert one["status"] == row["status"]
    text = nibsmith("ingredients", "milk_powder_whole").stdout
    assert "usda-sr28 NDB 01212" in text
    assert "read in the source" in text


def test_what_the_source_does_not_give_is_said_to_be_unknown() -> None:
    assert "Not known: starch" in nibsmith("ingredients", "cocoa_nibs_roasted").stdout


def test_a_word_that_means_nothing_is_refused_with_near_keys() -> None:
    done = nibsmith("ingredients", "coca_mass")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "cocoa_mass" in done.stderr


@pytest.mark.parametrize("arguments", [(), ("cocoa_nibs_roasted",), ("milk",)])
def test_the_text_fits_80_columns(arguments: tuple[str, ...]) -> None:
    assert max(len(line) for line in nibsmith("ingredients", *arguments).stdout.splitlines()) <= 80


def test_a_terminal_without_the_signs_gets_plain_ones() -> None:
    done = nibsmith("ingredients", "lecithin_soy", env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert "vitamin D" in done.stdout
