"""The handbook says what the program does: its examples run, its keys and help texts are the real ones."""

from __future__ import annotations

import doctest
import re
from pathlib import Path
from typing import Any

import pytest

from command_line import ROOT, document, nibsmith
from help_in_docs import BLOCK, PAGE, commands_shown, with_real_help
from nibsmith.answers.balance import OTHER_KEYS, balance, wishes_from
from nibsmith.answers.context import Context
from nibsmith.answers.recipe_text import read_recipe
from nibsmith.answers.recipe_text.words import (
    FORM_WORDS,
    IN_BOWL_KEYS,
    INGREDIENT_KEYS,
    KIND_WORDS,
    PART_KEYS,
    TOP_KEYS,
    WORKSHOP_KEYS,
)
from nibsmith.cli.commands import COMMANDS
from nibsmith.science.formulate import Objective
from nibsmith.science.kit import kits
from nibsmith.science.mixture import Basis, Form, Grind, Kind, Stage

HOWTO = ROOT / "docs" / "howto"
RECIPE_FILE = (HOWTO / "recipe-file.md").read_text(encoding="utf-8")
COMMAND_LINE = PAGE.read_text(encoding="utf-8")
TOML = re.findall(r"^```toml\n(.*?)^```$", RECIPE_FILE, re.MULTILINE | re.DOTALL)
WORDS_IN_CODE = re.compile(r"`([^`\n]+)`")


def in_code(page: str) -> set[str]:
    """Return every word that a page sets in code, without brackets around it."""
    return {word.strip("[]").split(".")[0].split(" ")[0] for word in WORDS_IN_CODE.findall(page)}


def test_the_help_texts_are_those_the_program_prints() -> None:
    assert len(list(BLOCK.finditer(COMMAND_LINE))) == len(COMMANDS) + 1
    assert with_real_help(COMMAND_LINE) == COMMAND_LINE


def test_every_command_is_in_the_handbook() -> None:
    assert commands_shown(COMMAND_LINE) == {"", *COMMANDS}


@pytest.mark.parametrize("keys", [TOP_KEYS, PART_KEYS, IN_BOWL_KEYS, WORKSHOP_KEYS, INGREDIENT_KEYS])
def test_every_key_of_a_recipe_file_is_in_the_handbook(keys: tuple[str, ...]) -> None:
    assert set(keys) - in_code(RECIPE_FILE) == set()


@pytest.mark.parametrize("words", [Kind, Stage, Grind, Form, KIND_WORDS, kits()])
def test_every_word_of_a_closed_list_is_in_the_handbook(words: Any) -> None:
    assert {str(word) for word in words} - in_code(RECIPE_FILE) == set()


def test_the_other_word_for_flakes_is_in_the_handbook() -> None:
    assert FORM_WORDS["vermicelli"] is Form.FLAKES
    assert "vermicelli" in in_code(RECIPE_FILE)


@pytest.mark.parametrize("text", TOML, ids=range(len(TOML)))
def test_an_example_of_the_handbook_reads(text: str) -> None:
    assert read_recipe(text).recipe.total_g > 0


def test_every_key_of_the_limits_is_in_the_handbook() -> None:
    assert set(OTHER_KEYS) - in_code(RECIPE_FILE) == set()
    assert {basis.value for basis in Basis} - in_code(RECIPE_FILE) == set()
    assert {objective.value for objective in Objective} - in_code(RECIPE_FILE) == set()


def test_the_limits_of_the_handbook_have_a_recipe() -> None:
    files = [file for file in map(read_recipe, TOML) if file.limits]
    assert files
    for file in files:
        assert balance(file.recipe, wishes_from(file.limits), Context()).possible


def test_the_commands_of_the_handbook_run(tmp_path: Path) -> None:
    """Each line of a shell block, but for a sheet, which goes into a folder of its own."""
    blocks = re.findall(r"^```sh\n(.*?)^```$", COMMAND_LINE, re.MULTILINE | re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines() if line]
    assert lines
    for line in lines:
        apart = re.sub(r"(?<= )(sheet.pdf|softer.toml)", f"{tmp_path}/\\1", line)
        words = [word.strip('"') for word in re.findall(r'"[^"]*"|\S+', apart)]
        assert words[0] == "nibsmith"
        done = nibsmith(*words[1:])
        assert done.returncode == 0, (line, done.stderr)


def flat_keys(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for inner in value.values() for key in flat_keys(inner)}
    return {key for inner in value for key in flat_keys(inner)} if isinstance(value, list) else set()


def test_every_key_of_the_document_is_in_the_handbook() -> None:
    options = (
        "--have",
        "5 kg cocoa_nibs_roasted",
        "--in-bowl",
        "1 kg cocoa_nibs_roasted; 900 g sugar_granulated",
    )
    for example in sorted((ROOT / "examples").glob("*.toml")):
        extra = options if example.stem == "weir-lane-68" else ()
        assert flat_keys(document("recipe", example, *extra)) - in_code(COMMAND_LINE) == set()


def test_every_key_of_the_documents_of_the_bench_is_in_the_handbook() -> None:
    examples = ROOT / "examples"
    dark = examples / "weir-lane-68.toml"
    for found in (
        document("balance", examples / "softer-harbour.toml"),
        document("rescue", examples / "slipped-scoop.toml"),
        document("share-out", "1 kg nibs", dark, "--by", "bars", "--wanted", "9"),
    ):
        assert flat_keys(found) - in_code(COMMAND_LINE) == set()


def test_every_key_of_an_ingredients_document_is_in_the_handbook() -> None:
    found = document("ingredients", "cocoa_nibs_roasted")
    assert set(found) - in_code(COMMAND_LINE) == set()


def test_the_examples_in_python_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    results = doctest.testfile(str(HOWTO / "python.md"), module_relative=False)
    assert results.attempted > 20
    assert results.failed == 0
