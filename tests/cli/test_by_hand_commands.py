"""The tools of the bench on the command line say what the pages say, as text and as JSON."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from command_line import ROOT, document, nibsmith, nibsmith_here
from help_in_docs import PAGE
from nibsmith.answers.seed import SeedAsked
from nibsmith.answers.tools.damp import DampAsked, damp_by_hand
from nibsmith.answers.tools.grinding import GrindAsked, grinding_by_hand, readings_typed
from nibsmith.answers.tools.seeding import seed_by_hand
from nibsmith.science.temper import Unknown, sights

EXAMPLES = ROOT / "examples"
CUP, GRAINS = EXAMPLES / "weir-lane-cup.csv", EXAMPLES / "weir-lane-grains.csv"
# What a table says where nobody else said it.
NO_SOURCE = {"own-derivation", "common-practice", "memory"}
COMMANDS: dict[str, tuple[str, ...]] = {
    "grind": ("9 h 95 µm 3", "24 h 45 µm 3", "--aim", "melting"),
    "sizes": (str(GRAINS),),
    "pour": ("--fat", "36"),
    "temper": ("dark", "--held", "31.5"),
    "seed": ("1.2 kg", "46 C"),
    "curve": (str(CUP), "--coolant", "8"),
    "fold-in": ("240 g hazelnut_dry_roasted", "1760 g"),
    "cool": ("--thickness", "8", "--air", "12"),
    "damp": ("12", "20", "50"),
    "faults": ("streaks", "slow"),
}


def flat_keys(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for inner in value.values() for key in flat_keys(inner)}
    return {key for inner in value for key in flat_keys(inner)} if isinstance(value, list) else set()


@pytest.mark.parametrize("command", COMMANDS)
def test_a_tool_prints_its_answer_and_opens_with_why(command: str) -> None:
    short = nibsmith_here(command, *COMMANDS[command])
    opened = nibsmith_here(command, *COMMANDS[command], "--why")
    assert (short.returncode, short.stderr) == (0, "")
    assert short.stdout[0] in "●◐■○"
    assert "How it is worked out" in opened.stdout
    assert "How it is worked out" not in short.stdout
    assert max(map(len, opened.stdout.splitlines())) <= 80


@pytest.mark.parametrize("command", COMMANDS)
def test_a_document_has_the_answer_what_went_in_and_its_sources(command: str) -> None:
    found = document(command, *COMMANDS[command])
    assert {"answer", "given", "tables", "formulas", "figures_behind"} <= set(found)
    assert found["answer"]["sentence"]
    assert found["formulas"]
    keys = (ROOT / "docs" / "references.md").read_text(encoding="utf-8")
    for row in found["figures_behind"]:
        assert row["source"] in NO_SOURCE or f"[{row['source']}]" in keys


@pytest.mark.parametrize("command", COMMANDS)
def test_every_key_of_a_document_is_in_the_handbook(command: str) -> None:
    in_code = set(re.findall(r"`([a-z_0-9]+)`", PAGE.read_text(encoding="utf-8")))
    assert flat_keys(document(command, *COMMANDS[command])) - in_code == set()


def test_the_command_line_says_what_the_answers_say() -> None:
    readings = readings_typed("9 h 95 µm 3\n24 h 45 µm 3")
    for command, outcome in (
        (("damp", "12", "20", "50"), damp_by_hand(DampAsked(12.0, 20.0, 50.0))),
        (("seed", "1.2 kg", "46 C"), seed_by_hand(SeedAsked(mass_g=1200.0, mass_celsius=46.0))),
        (("grind", "24 h 45 µm 3", "9 h 95 µm 3"), grinding_by_hand(GrindAsked(readings=readings))),
    ):
        assert document(*command)["answer"]["sentence"] == outcome.answer.sentence


def test_fahrenheit_and_pounds_are_read_as_they_are_written() -> None:
    celsius = document("seed", "1200 g", "46 C")["answer"]["figure"]
    assert document("seed", "1200 g", "114.8 F")["answer"]["figure"] == pytest.approx(celsius, rel=1e-6)
    ounces = document("fold-in", "8.4660 oz hazelnut_dry_roasted", "1760 g")["answer"]["figure"]
    grams = document("fold-in", "240 g hazelnut_dry_roasted", "1760 g")["answer"]["figure"]
    assert ounces == pytest.approx(grams, abs=0.01)  # 8.466 oz is 240.01 g


def test_what_is_asked_for_is_left_out() -> None:
    found = document("seed", "--tell", "mass", "46 C", "--seed", "200 g")["answer"]
    asked = SeedAsked(mass_celsius=46.0, seed_g=200.0, unknown=Unknown.MASS)
    assert found["figure"] == pytest.approx(seed_by_hand(asked).answer.figure)
    warm = document("seed", "--tell", "mass-temperature", "1 kg", "--seed", "200 g")["answer"]
    assert warm["unit"] == "°C"


@pytest.mark.parametrize("size", ["25 µm", "25um", "25 microns", "25"])
def test_a_size_is_read_with_its_unit(size: str) -> None:
    bare = document("pour", "--fat", "36", "--cocoa", "25", "--sugar", "25")["answer"]
    assert document("pour", "--fat", "36", "--cocoa", size, "--sugar", size)["answer"] == bare


def test_a_recipe_file_pours_as_its_own_answer_says() -> None:
    file = EXAMPLES / "weir-lane-68.toml"
    whole = document("recipe", file)
    (there,) = [one for one in whole["answers"] if one["question"] == "pour"]
    here = document("pour", file)["answer"]
    assert (here["figure"], here["sentence"]) == (there["figure"], there["sentence"])


def test_a_curve_comes_by_standard_input_too() -> None:
    text = CUP.read_text(encoding="utf-8")
    piped = document("curve", "-", "--coolant", "8", stdin=text)
    assert piped["answer"]["figure"] == document("curve", CUP, "--coolant", "8")["answer"]["figure"]
    seconds = "\n".join(
        f"{index * 30} {line.split(';')[1]}" for index, line in enumerate(text.splitlines()[1:])
    )
    counted = document("curve", "-", "--coolant", "8", "--seconds", stdin=seconds)
    assert counted["answer"]["figure"] == pytest.approx(piped["answer"]["figure"], rel=1e-6)


def test_what_can_be_seen_is_listed_where_nothing_is_told() -> None:
    listed = nibsmith_here("faults").stdout
    assert all(key in listed for key in sights())
    assert {key for group in document("faults").values() for key in group} == set(sights())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pour",), "A mass comes from one place"),
        (("pour", "--fat", "36", "recipe.toml"), "A mass comes from one place"),
        (("pour", "--fat", "a third"), "--fat: This is not a share in percent"),
        (("pour", "--fat", "36", "--kit", "anvil"), "--kit: "),
        (("pour", "--fat", "36", "--cocoa", "25 mm"), "--cocoa: This is not a number"),
        (("pour", str(EXAMPLES / "weir-lane-68.toml"), "--lecithin", "1"), "--lecithin goes with --fat"),
        (("grind", "24 h"), "READING: Line 1 does not hold 2 to 3 numbers"),
        (("seed", "1.2 kg"), "This is needed and has no usual value"),
        (("seed", "2 cups", "46"), "MASS: "),
        (("seed", "--tell", "mass", "1 kg", "46"), "MASS: This is what is asked for"),
        (("seed", "--tell", "mass-temperature", "1 kg", "46"), "TEMP: This is what is asked for"),
        (("seed", "1 kg", "46", "--melts", "140"), "--melts: "),
        (("temper", "dark", "--other-fat", "70"), "Too little of the fat is cocoa butter"),
        (("curve", "nowhere.csv", "--coolant", "8"), "nowhere.csv: No such file"),
        (("damp", "12", "20", "0"), "A relative humidity lies between"),
        (("faults", "alembic"), "No such sight"),
        (("fold-in", "some nuts", "1 kg"), "THING: "),
        (("sizes", str(CUP)), "weir-lane-cup.csv: "),
    ],
)
def test_a_refusal_is_one_line_with_the_place(words: tuple[str, ...], said: str) -> None:
    done = nibsmith(*words)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert said in done.stderr


def test_a_file_that_is_too_large_is_refused_unread(tmp_path: Path) -> None:
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(200_000_000)
    done = nibsmith("curve", huge, "--coolant", "8")
    assert done.returncode == 2
    assert "too large" in done.stderr


def test_the_air_of_ones_own_fridge_counts_in_place_of_how_it_moves() -> None:
    usual = document("cool", "--air", "12", "--thickness", "8")
    still = document("cool", "--air", "12", "--thickness", "8", "--takes-up", "8")
    quick = document("cool", "--air", "12", "--thickness", "8", "--takes-up", "20", "--wind", "still")

    # Still air takes up 8 W/(m² K), from 6 to 10 ([own-derivation], table of cooling).
    assert still["answer"]["figure"] == pytest.approx(usual["answer"]["figure"])
    assert quick["answer"]["figure"] < usual["answer"]["figure"]
    assert "by your own figure" in quick["answer"]["sentence"]
    assert "still air" not in quick["answer"]["sentence"]


def test_a_figure_of_the_air_that_cannot_be_is_named() -> None:
    done = nibsmith_here("cool", "--takes-up", "0")
    assert "the heat that the air takes up cannot be (got 0)" in " ".join(done.stdout.split())


def test_where_no_time_can_be_told_the_reason_is_in_plain_words() -> None:
    done = nibsmith_here("cool", "--fat", "50")
    said = " ".join(done.stdout.replace("\u00a0", " ").split())
    assert "No time." in said
    assert "How fast fat sets is known only for masses of 28 to 45 % fat (got 50 %)." in said


def test_empty_moulds_without_a_weight_are_said_to_count_for_nothing() -> None:
    without = document("cool", "--in-one", "1 kg", "--moulds", "2")
    weighed = document("cool", "--in-one", "1 kg", "--moulds", "2", "--mould", "300 g")
    words = "The moulds themselves count as weightless"
    assert words in without["answer"]["sentence"]
    assert words not in weighed["answer"]["sentence"]
    assert {one["name"]: one["whose"] for one in without["given"]}["Empty mould"] == "usual"
