"""Recipes worked by hand from the figures of the standards, answered by ``nibsmith recipe`` as a process.

The compositions and their arithmetic are exercises of this project; the bounds they are held against are
those of [codex87], [eu-2000-36], [uk-2003-1659], [cfr21-163] and [ca-fcs4]. The ingredients are, in 100 g:
mass 54.0 g of cocoa butter and 1.5 g of water; cocoa butter 100 g of itself; whole milk powder 26 g of milk
fat and 3 g of water; sugar and lecithin neither cocoa, milk nor water. Figures are held to the digits of the
hand arithmetic.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from command_line import nibsmith

RECIPES = Path(__file__).parent / "recipes"
MARKETS = "codex,eu,uk,us,ca"


@cache
def answered(name: str) -> Any:
    done = nibsmith("recipe", RECIPES / f"{name}.toml", "--markets", MARKETS, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def verdict(name: str, jurisdiction: str, key: str) -> Any:
    return next(
        found
        for found in answered(name)["names"]
        if (found["jurisdiction"], found["key"]) == (jurisdiction, key)
    )


def best(name: str) -> dict[str, str]:
    """Return the key of the best name in each of the five jurisdictions."""
    chosen = {found["jurisdiction"]: found["key"] for found in answered(name)["names"] if found["best"]}
    return {key: chosen[key] for key in MARKETS.split(",") if key in chosen}


def answer(name: str, question: str) -> Any:
    return next(found for found in answered(name)["answers"] if found["question"] == question)


# CB = 66 x 0.54 + 4.5; FFDCS = 66 x 0.445; water = 66 x 0.015
E1 = {
    "cocoa_butter_percent": 40.14,
    "fat_free_dry_cocoa_solids_percent": 29.37,
    "dry_cocoa_solids_percent": 69.51,
    "water_percent": 0.99,
    "cocoa_as_weighed_percent": 70.5,
    "total_fat_percent": 40.14,
    "milk_solids_percent": 0.0,
}
# CB = 6.48 + 20; MF = 22 x 0.26; MS = 22 x 0.97; water = 0.18 + 0.66; total fat without the lecithin
E3 = {
    "cocoa_butter_percent": 26.48,
    "fat_free_dry_cocoa_solids_percent": 5.34,
    "dry_cocoa_solids_percent": 31.82,
    "milk_fat_percent": 5.72,
    "milk_solids_percent": 21.34,
    "total_fat_percent": 32.20,
    "water_percent": 0.84,
    "emulsifier_percent": 0.5,
}
E5 = {
    "cocoa_butter_percent": 28.0,
    "fat_free_dry_cocoa_solids_percent": 0.0,
    "milk_fat_percent": 5.72,
    "milk_solids_percent": 21.34,
    "total_fat_percent": 33.72,
}


@pytest.mark.parametrize(
    ("name", "figure", "percent"),
    [
        (name, figure, percent)
        for name, figures in (("e1", E1), ("e3", E3), ("e5", E5))
        for figure, percent in figures.items()
    ],
)
def test_the_mixture_has_the_figures_worked_by_hand(name: str, figure: str, percent: float) -> None:
    # the products are exact to two decimals; the document rounds to six
    assert answered(name)["mixture"][figure] == pytest.approx(percent, rel=0, abs=5e-7)


@pytest.mark.parametrize(
    ("name", "jurisdiction", "key"),
    [
        ("e1", "eu", "chocolate"),
        ("e1", "eu", "couverture"),
        ("e1", "eu", "quality_chocolate"),
        ("e1", "eu", "quality_couverture"),
        ("e1", "codex", "chocolate"),
        ("e1", "codex", "couverture"),
        ("e1", "us", "semisweet"),
        ("e1", "ca", "dark"),
        ("e3", "eu", "milk"),
        ("e3", "eu", "milk_couverture"),
        ("e3", "eu", "quality_milk"),
        ("e3", "eu", "family_milk"),
        ("e3", "eu", "cream"),
        ("e3", "us", "milk"),
        ("e3", "ca", "milk"),
        ("e3", "codex", "milk_couverture"),
        ("e5", "eu", "white"),
        ("e5", "codex", "white_high"),
        ("e5", "ca", "white"),
        ("e5", "us", "white"),
    ],
)
def test_a_name_that_the_figures_earn_is_allowed(name: str, jurisdiction: str, key: str) -> None:
    assert verdict(name, jurisdiction, key)["allowed"] == "yes"


@pytest.mark.parametrize(
    ("name", "names"),
    [
        ("e1", {"codex": "chocolate", "eu": "chocolate", "uk": "chocolate", "us": "semisweet", "ca": "dark"}),
        ("e3", {"codex": "milk_high", "eu": "milk", "uk": "milk", "us": "milk", "ca": "milk"}),
        ("e5", {"codex": "white_high", "eu": "white", "uk": "white", "us": "white", "ca": "white"}),
    ],
)
def test_the_everyday_name_is_the_best_one(name: str, names: dict[str, str]) -> None:
    assert best(name) == names
    assert answer(name, "call_it")["verdict"] == "good"


def test_the_cocoa_declared_is_rounded_down() -> None:
    """66 mass and 4.5 butter are 69.51 % dry cocoa solids: 69 % may be declared, not 70."""
    assert answer("e1", "call_it")["figure"] == 69.0
    assert "69 % minimum" in answer("e1", "call_it")["sentence"]


def test_white_chocolate_declares_no_cocoa() -> None:
    assert answer("e5", "call_it")["figure"] is None


def test_cocoa_is_judged_on_the_chocolate_and_not_on_the_whole_bar() -> None:
    """75 g of E1 with 25 g of pistachios: 69.5 % on the chocolate, 0.75 x 69.51 = 52.1 % on the bar."""
    bar = answered("e9-25")
    assert round(bar["mixture"]["dry_cocoa_solids_percent"], 1) == 69.5
    assert round(bar["product"]["dry_cocoa_solids_percent"], 1) == 52.1
    assert verdict("e9-25", "eu", "chocolate")["allowed"] == "yes"
    assert answer("e9-25", "call_it")["figure"] == 69.0


def test_42_percent_of_other_foods_are_too_many() -> None:
    refused = verdict("e9-42", "eu", "chocolate")
    assert refused["allowed"] == "no"
    lack = refused["lacking"][0]
    assert (lack["has_percent"], lack["needs_percent"], lack["gap_percent"]) == (42.0, 40.0, 2.0)
    assert verdict("e9-42", "codex", "chocolate")["allowed"] == "no"
    assert verdict("e9-42", "uk", "chocolate")["allowed"] == "no"


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk"])
def test_exactly_40_percent_of_other_foods_are_allowed(jurisdiction: str) -> None:
    assert verdict("e9-40", jurisdiction, "chocolate")["allowed"] == "yes"


@pytest.mark.parametrize("jurisdiction", ["codex", "eu", "uk"])
def test_a_praline_needs_exactly_a_quarter_of_chocolate(jurisdiction: str) -> None:
    """A piece of 12.0 g: 3.0 g of shell are 25.0 %, 2.9 g are 24.17 %."""
    assert verdict("e12-shell-3.0", jurisdiction, "praline")["allowed"] == "yes"
    refused = verdict("e12-shell-2.9", jurisdiction, "praline")
    assert refused["allowed"] == "no"
    lack = next(lack for lack in refused["lacking"] if lack["needs_percent"] == 25.0)
    assert round(lack["has_percent"], 2) == 24.17


def test_the_shell_of_nibs_is_counted_as_each_law_counts_it() -> None:
    """Shell 1.8 and germ 0.3: over 1.75 for the US; 2.1 of 44 g fat-free dry is 4.77 %, under 5 for Codex."""
    refused = verdict("e15-shell-1.8", "us", "semisweet")
    assert refused["allowed"] == "no"
    assert "1.8 % where at most 1.75 %" in refused["lacking"][0]["sentence"]
    assert verdict("e15-shell-1.8", "codex", "chocolate")["allowed"] == "yes"


def test_either_branch_of_the_shell_rule_is_enough() -> None:
    """Shell 1.7 and germ 0.6: 2.3 of 44 g is 5.23 %, over 5, but the shell alone is within 1.75."""
    assert verdict("e15-shell-1.7", "us", "semisweet")["allowed"] == "yes"
    assert verdict("e15-shell-1.7", "codex", "chocolate")["allowed"] == "yes"
