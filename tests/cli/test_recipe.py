"""``nibsmith recipe``: sizes, shelf, bowl, sheet and refusals, as a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from command_line import ROOT, document, nibsmith, nibsmith_here
from nibsmith.answers.answer import Verdict
from nibsmith.answers.recipe_text import read_recipe
from nibsmith.cli.printing import SHAPES
from nibsmith.science.formulate import fold_in_for
from nibsmith.science.kit import kit

DARK = ROOT / "examples" / "weir-lane-68.toml"  # 61.5 nibs, 6.5 butter, 32.0 sugar; stone, mould of 65 g
MILK = ROOT / "examples" / "harbour-milk-46.toml"  # by weight: 610 g of sugar in 2 kg
HAZEL = ROOT / "examples" / "hazel-evening.toml"
SLIPPED = ROOT / "examples" / "slipped-scoop.toml"
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))


def numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from numbers(inner)
    elif isinstance(value, float):
        yield value


def masses(found: Any) -> dict[str, float]:
    return {part["label"]: part["mass_g"] for part in found["parts"]}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda file: file.stem)
def test_every_example_is_answered_within_80_columns_and_without_colour(example: Path) -> None:
    done = nibsmith_here("recipe", example)
    assert done.returncode == 0, done.stderr
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "\x1b" not in done.stdout
    opened = nibsmith_here("recipe", example, "--why").stdout
    assert max(len(line) for line in opened.splitlines()) <= 80
    assert len(opened.splitlines()) > len(done.stdout.splitlines())


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda file: file.stem)
def test_the_document_closes_and_holds_no_float_dirt(example: Path) -> None:
    found = document("recipe", example)
    assert sum(part["mass_g"] for part in found["parts"]) == pytest.approx(found["total_g"], rel=0, abs=1e-5)
    assert sum(part["share_percent"] for part in found["parts"]) == pytest.approx(100, rel=0, abs=1e-5)
    # every weight is a multiple of the scale's gram and within one of it; their sum is the rounded total
    for part in found["parts"]:
        assert part["weigh_g"] == round(part["weigh_g"])
        assert abs(part["weigh_g"] - part["mass_g"]) < 1
    assert abs(sum(part["weigh_g"] for part in found["parts"]) - found["total_g"]) <= 0.5
    assert all(value == float(f"{value:.6f}") for value in numbers(found))


def test_the_document_has_the_keys_of_the_handbook() -> None:
    found = document("recipe", HAZEL)
    assert {"parts", "total_g", "mixture", "product", "names", "batch_limit", "left_over"} <= found.keys()
    assert {"as_weighed", "ways_out", "answers"} <= found.keys()
    assert {"name", "share_percent", "mass_g"} <= found["parts"][0].keys()
    wanted = {"jurisdiction", "key", "name", "allowed", "best", "lacking", "depends_on"}
    assert all(wanted <= name.keys() for name in found["names"])
    assert {name["allowed"] for name in found["names"]} <= {"yes", "no", "depends", "unknown"}
    answer_keys = {"question", "verdict", "sentence", "figure", "unit", "low", "high", "basis"}
    assert all(
        answer_keys | {"reasons", "remedies", "sources"} <= answer.keys() for answer in found["answers"]
    )
    assert {answer["verdict"] for answer in found["answers"]} <= {verdict.value for verdict in Verdict}


def test_every_market_that_is_known_is_among_the_names() -> None:
    found = {name["jurisdiction"] for name in document("recipe", DARK)["names"]}
    keys = "codex eu uk us ca ch jp kr tw in br eaeu tr au-nz"
    assert found == set(keys.split())


def test_the_shelf_gives_the_largest_batch_and_says_what_runs_out_first() -> None:
    """300 g of sugar are 32 %: 937.5 g in all; 1.2 kg of nibs would reach 1951 g."""
    found = document(
        "recipe", DARK, "--have", "1.2 kg cocoa_nibs_roasted", "--have", "300 g sugar_granulated"
    )
    assert found["total_g"] == 937.5
    assert found["batch_limit"] == "sugar_granulated"
    left = {row["part"]: row["left_g"] for row in found["left_over"]}
    assert left == {"cocoa_nibs_roasted": pytest.approx(1200 - 0.615 * 937.5), "sugar_granulated": 0.0}


def test_a_total_that_the_shelf_reaches_is_the_total() -> None:
    found = document("recipe", DARK, "--total", "2 kg", "--have", "5 kg cocoa_nibs_roasted")
    assert found["total_g"] == 2000.0
    assert found["batch_limit"] is None
    assert found["left_over"][0]["left_g"] == pytest.approx(5000 - 1230)


def test_a_total_that_the_shelf_does_not_reach_is_cut_and_said() -> None:
    found = document("recipe", DARK, "--total", "2 kg", "--have", "615 g cocoa_nibs_roasted")
    assert found["total_g"] == pytest.approx(1000)
    assert any("for want of roasted nibs" in remark for remark in found["remarks"])


def test_bars_are_weighed_with_what_stays_in_the_kit() -> None:
    """24 bars of 50 g from a blender that keeps 20 g: its water stays as charged, so 1220 g are weighed."""
    found = document("recipe", DARK, "--bars", "24", "--mould", "50g", "--kit", "blender")
    assert found["total_g"] == pytest.approx(24 * 50 + 20, rel=0, abs=1e-5)


LOST = ("--residue", "60 g", "--loss", "4")


@pytest.mark.parametrize("kit", [(), ("--kit", "blender")])
def test_bars_are_weighed_with_the_loss_that_is_said(kit: tuple[str, ...], tmp_path: Path) -> None:
    """By hand: 30 bars of 50 g and 60 g that stay are 96 % of 1625 g; the water stays as charged."""
    file = tmp_path / "dark.toml"
    parts = "".join(
        f"[[part]]\ningredient = '{key}'\nshare_percent = {share}\n"
        for key, share in (("cocoa_nibs_roasted", 68), ("sugar_granulated", 32))
    )
    file.write_text(parts)
    found = document("recipe", str(file), "--bars", "30", "--mould", "50g", *kit, *LOST)
    assert found["total_g"] == pytest.approx(1625, rel=0, abs=1e-5)
    said = "[workshop]\nresidue = '60 g'\nloss_percent = 4\nmould = '50 g'\nbars = 30\n"
    file.write_text(said + (f"kit = '{kit[1]}'\n" if kit else "") + parts)
    assert document("recipe", str(file))["total_g"] == pytest.approx(1625, rel=0, abs=1e-5)
    # What the command line says goes before the file: 1500 g and 12 g are all of 1512 g.
    other = document("recipe", str(file), "--residue", "12 g", "--loss", "0 %")
    assert other["total_g"] == pytest.approx(1512, rel=0, abs=1e-5)


def test_what_is_lost_is_never_of_what_is_folded_in() -> None:
    """By hand: 40 bars of 11 g of nuts take 440 g of them with any loss; the rest carries the loss alone."""
    plain, losing = (
        document("recipe", HAZEL, "--bars", "40", "--kit", "blender", *said)
        for said in (("--residue", "0 g", "--loss", "0"), ("--residue", "0 g", "--loss", "20"))
    )
    ground, more = ({p["name"]: p["mass_g"] for p in found["parts"]} for found in (plain, losing))
    nuts = next(name for name in ground if "azelnut" in name)
    assert ground[nuts] == pytest.approx(440, rel=0, abs=1e-5)
    assert more[nuts] == pytest.approx(440, rel=0, abs=1e-5)
    rest = (sum(parts.values()) - parts[nuts] for parts in (more, ground))
    assert next(rest) == pytest.approx(next(rest) / 0.8, rel=1e-6)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        (("--loss", "100"), "--loss: The loss cannot be true"),
        (("--loss", "-1"), "--loss"),
        (("--loss", "two"), "--loss: This is not a share in percent"),
        (("--residue", "140"), "--residue: A number needs its unit"),
        (("--residue", "2 kg", "--kit", "blender"), "less than its largest charge, 1000 g"),
    ],
)
def test_a_loss_that_cannot_be_is_refused_in_one_line(said: tuple[str, ...], why: str) -> None:
    ended = nibsmith("recipe", str(DARK), *said)
    assert ended.returncode == 2
    assert why in ended.stderr
    assert len(ended.stderr.strip().splitlines()) == 1


def test_bars_that_the_shelf_does_not_reach_are_fewer() -> None:
    found = document(
        "recipe",
        DARK,
        "--bars",
        "24",
        "--mould",
        "50g",
        "--kit",
        "blender",
        "--have",
        "320 g sugar_granulated",
    )
    # 320 g of sugar are 32 % of 1000 g; 20 g of these stay behind: 19 bars of 50 g and a rest
    assert found["total_g"] == pytest.approx(19 * 50 + 20, rel=0, abs=1e-5)
    assert any("enough for 19" in remark for remark in found["remarks"])


@pytest.mark.parametrize("bars", [1, 30, 40, 173])
@pytest.mark.parametrize("kit", ["stone", "blender"])
def test_what_is_folded_in_follows_the_bars_and_not_the_loss_nor_the_water(kit: str, bars: int) -> None:
    """11 g of nuts in a bar of 65 g, whether or not water leaves the mass that goes around them."""
    found = document("recipe", HAZEL, "--bars", str(bars), "--kit", kit)
    nuts = next(part for part in found["parts"] if part["label"] == "hazelnut_dry_roasted")
    assert nuts["mass_g"] == pytest.approx(bars * 11, rel=0, abs=1e-5)
    assert nuts["weigh_g"] == bars * 11
    inclusion = found["inclusions"][0]
    assert inclusion["g_per_bar"] == pytest.approx(11.0, rel=0, abs=1e-6)
    assert inclusion["g_per_100g_chocolate"] == pytest.approx(11 / 54 * 100, rel=0, abs=1e-5)
    assert inclusion["percent_of_everything"] == pytest.approx(nuts["share_percent"], rel=0, abs=1e-5)
    # of what is weighed the nuts are less where water leaves: it is weighed and not in the bar
    of_bar_percent = 11 / 65 * 100
    assert (inclusion["percent_of_everything"] < of_bar_percent - 0.05) == (kit == "stone")


def test_the_fold_in_card_says_what_was_typed_to_100_g_of_chocolate(tmp_path: Path) -> None:
    text = HAZEL.read_text(encoding="utf-8").replace("g_per_bar = 11", "g_per_100g_chocolate = 25")
    file = tmp_path / "hazel.toml"
    file.write_text(text, encoding="utf-8")
    recipe = read_recipe(text).recipe
    end_water = kit("stone").usual_end_water_percent
    # to 1 kg of tempered mass, with a few roundings of double arithmetic
    assert fold_in_for(recipe, 1000.0, end_water) == pytest.approx({"hazelnut_dry_roasted": 250.0}, rel=1e-12)
    printed = " ".join(nibsmith_here("recipe", file).stdout.split())
    assert "25.0 g per 100 g of chocolate" in printed


def test_the_bowl_is_shown_with_two_ways_out() -> None:
    """1080 g of nibs, 610 g of sugar where 61.5 and 32.0 are wanted: sugar leads, 610 / 0.32 = 1906.25 g."""
    found = document("recipe", SLIPPED)
    ways = {way["way"]: way for way in found["ways_out"]}
    assert ways["keep_shares"]["new_total_g"] == pytest.approx(1906.25)
    adds = {row["part"]: row["add_g"] for row in ways["keep_shares"]["add"]}
    assert adds == {
        "cocoa_nibs_roasted": pytest.approx(0.615 * 1906.25 - 1080),
        "cocoa_butter": pytest.approx(0.065 * 1906.25),
    }
    # the butter keeps its 6.5 % of the whole: 1690 / 0.935
    assert ways["keep_weights"]["new_total_g"] == pytest.approx(1690 / 0.935)
    assert found["as_weighed"]["total_g"] == 1690.0
    assert found["as_weighed"]["parts"][0]["share_percent"] == pytest.approx(1080 / 1690 * 100)


def test_the_command_line_goes_before_the_bowl_of_the_file() -> None:
    found = document("recipe", SLIPPED, "--in-bowl", "500 g nibs; 260.5 g sugar_granulated")
    assert found["as_weighed"]["total_g"] == pytest.approx(760.5)


def test_a_thing_in_the_bowl_that_is_not_in_the_recipe_leaves_one_way_out() -> None:
    found = document("recipe", DARK, "--in-bowl", "600 g cocoa_nibs_roasted", "--in-bowl", "20 g salt")
    assert [way["way"] for way in found["ways_out"]] == ["keep_weights"]
    assert "salt" in {part["label"] for part in found["as_weighed"]["parts"]}


def test_a_bowl_with_more_than_the_batch_takes_has_ways_out() -> None:
    """A batch of 1.5 kg takes 480 g of sugar; the file of MILK takes 610 g."""
    assert document("recipe", DARK, "--in-bowl", "640 g sugar", "--total", "2 kg")["ways_out"] == []
    for arguments in (
        (DARK, "--in-bowl", "640 g sugar", "--total", "1.5 kg"),
        (MILK, "--in-bowl", "700 g sugar"),
    ):
        ways = document("recipe", *arguments)["ways_out"]
        assert [way["way"] for way in ways] == ["keep_shares", "keep_weights"]


def test_a_bowl_within_the_weights_of_the_file_keeps_their_size() -> None:
    found = document("recipe", MILK, "--in-bowl", "500 g sugar")
    assert found["total_g"] == 2000.0
    assert found["ways_out"] == []
    assert "Still to weigh in: 580 g" in nibsmith("recipe", MILK, "--in-bowl", "500 g sugar").stdout.replace(
        "\u00a0", " "
    )


def test_what_is_in_the_bowl_is_there_besides_the_shelf() -> None:
    """600 g on the shelf and 500 g in the bowl are 1100 g of nibs: enough for 1100 / 0.615."""
    found = document("recipe", DARK, "--in-bowl", "500 g nibs", "--have", "600 g nibs")
    assert found["total_g"] == pytest.approx(1100 / 0.615)
    assert found["batch_limit"] == "cocoa_nibs_roasted"
    assert found["ways_out"] == []


def test_a_plain_word_means_the_part_of_the_recipe() -> None:
    found = document("recipe", DARK, "--have", "615 g of roasted nibs", "--have", "1 lb cocoa butter")
    assert found["batch_limit"] == "cocoa_nibs_roasted"
    assert found["total_g"] == pytest.approx(1000)


def test_standard_input_is_a_file_too() -> None:
    assert document("recipe", "-", stdin=DARK.read_text(encoding="utf-8"))["name"] == "Weir Lane 68"


def test_a_file_without_a_name_has_the_name_of_the_file(tmp_path: Path) -> None:
    file = tmp_path / "back_yard.toml"
    file.write_text('[[part]]\ningredient = "cocoa_mass"\nmass = "1 kg"\n', encoding="utf-8")
    assert document("recipe", file)["name"] == "back yard"


def test_the_verdict_stands_as_shape_and_word() -> None:
    text = nibsmith("recipe", DARK).stdout
    for answer in document("recipe", DARK)["answers"]:
        shape = SHAPES[Verdict(answer["verdict"])]
        assert f"{shape} {answer['title']}  {answer['word']}" in text


def test_unknown_figures_are_null_and_say_whose_sheet_is_missing(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    sheet = '{ name = "Lot 9 nibs", kind = "nibs", fat_g = 54, water_g = 2 }'
    file.write_text(f'[[part]]\ningredient = {sheet}\nmass = "1 kg"\n', encoding="utf-8")
    found = document("recipe", file)
    assert found["mixture"]["protein_percent"] is None
    assert found["mixture"]["dry_cocoa_solids_percent"] == 98.0
    lacking = next(
        row for row in found["unknown"] if (row["of"], row["figure"]) == ("mixture", "protein_percent")
    )
    assert lacking["missing"] == ["Lot 9 nibs"]


def test_the_sheet_is_written_whole(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.pdf"
    done = nibsmith("recipe", DARK, "--total", "2 kg", "--pdf", sheet)
    assert done.returncode == 0, done.stderr
    assert sheet.read_bytes().startswith(b"%PDF-")
    assert sheet.read_bytes().rstrip().endswith(b"%%EOF")
    assert [file.name for file in tmp_path.iterdir()] == ["sheet.pdf"]
    assert str(sheet) in " ".join(done.stdout.split())


def test_a_sheet_that_cannot_be_written_leaves_nothing_behind(tmp_path: Path) -> None:
    done = nibsmith("recipe", DARK, "--pdf", tmp_path / "missing" / "sheet.pdf")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


REFUSED = [
    (["no-such-file.toml"], "no-such-file.toml: No such file"),
    (["examples"], "examples: Is a directory"),
    ([DARK, "--total", "2"], "--total: A number needs its unit"),
    ([DARK, "--total", "0 g"], "--total: This must be above zero"),
    ([DARK, "--total", "-1 kg"], "--total"),
    ([DARK, "--total", "1 kg", "--bars", "5"], "both wanted"),
    ([DARK, "--bars", "0"], "--bars"),
    ([DARK, "--bars", "2.5"], "--bars"),
    ([DARK, "--mould", "one cup"], "--mould"),
    ([DARK, "--kit", "anvil"], "--kit: No kit has this key"),
    ([DARK, "--markets", "eu,atlantis"], "--markets: No market has this key"),
    ([DARK, "--markets", ","], "--markets: No market is named"),
    ([DARK, "--scale", "0g"], "--scale"),
    ([DARK, "--have", "1.2 kg"], "--have: Thing 1: The amount has no name"),
    ([DARK, "--have", "nibs"], "--have: Thing 1: There is no amount"),
    ([DARK, "--have", "2 parts nibs"], "--have: Parts are no weight"),
    ([DARK, "--have", "1 kg unobtainium"], "--have: No ingredient has this key"),
    ([DARK, "--have", "1 kg salt"], "Nothing on the shelf"),
    ([DARK, "--in-bowl", "1 kg unobtainium"], "--in-bowl: No ingredient has this key"),
    ([DARK, "--in-bowl", "0 g cocoa_butter"], "The bowl is empty"),
    ([DARK, "--nonsense"], "unrecognized arguments: --nonsense"),
    ([], "the following arguments are required: FILE"),
]


@pytest.mark.parametrize(("arguments", "said"), REFUSED, ids=lambda value: " ".join(map(str, value))[-60:])
def test_a_refusal_is_one_line_and_a_number(arguments: list[str | Path], said: str) -> None:
    done = nibsmith_here("recipe", *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert said in done.stderr


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "standard input: The recipe has no parts"),
        (
            "[[part]]\ningredient = 'cocoa_mass'\nshare_percent = -3",
            "standard input: part[1].share_percent: This",
        ),
        (
            "[[part]]\ningredient = 'coca_mass'\nmass = '1 kg'",
            "part[1].ingredient: No ingredient has this key",
        ),
        ("\ud800".encode("utf-16", "surrogatepass"), "standard input: The file is not UTF-8 text"),
        (b"a" * 10_000_000, "standard input: The file is too large for a recipe"),
        (b"\x1b]0;title\x07 = 1", "standard input: The file is not TOML"),
    ],
)
def test_a_file_that_cannot_be_read_says_where(text: str | bytes, said: str) -> None:
    done = nibsmith("recipe", "-", stdin=text)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert said in done.stderr
    assert done.stderr.rstrip("\n").isprintable()


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = [sys.executable, "-m", "nibsmith", "recipe", str(DARK), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 141


def test_the_document_is_escaped_where_the_terminal_is_not_utf_8(tmp_path: Path) -> None:
    file = tmp_path / "name.toml"
    file.write_text(
        'name = "Weißdorn 70"\n[[part]]\ningredient = "cocoa_mass"\nmass = "1 kg"\n', encoding="utf-8"
    )
    done = nibsmith("recipe", file, "--json", env={"PYTHONIOENCODING": "ascii"})
    assert json.loads(done.stdout)["name"] == "Weißdorn 70"
    assert nibsmith("recipe", file, env={"PYTHONIOENCODING": "cp1252"}).returncode == 0


LIST_MODULES = """
import json, sys
from nibsmith.cli.main import main

code = main(sys.argv[1:])
print(json.dumps([code, sorted({name.split(".")[0] for name in sys.modules})]), file=sys.stderr)
"""


@pytest.mark.parametrize("options", [[], ["--json"], ["--total", "2 kg", "--have", "5 kg nibs", "--why"]])
def test_no_solver_and_no_web_framework_is_loaded(options: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", LIST_MODULES, "recipe", str(SLIPPED), *options],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )
    code, loaded = json.loads(done.stderr)
    assert code == 0
    assert "nibsmith" in loaded
    assert set(loaded).isdisjoint({"scipy", "highspy", "django", "typst"})


def test_what_is_in_the_bowl_is_neither_on_the_shelf_nor_less_than_it_is() -> None:
    """540 g of sugar ask for 1688 g of Weir Lane 68, so for 38 g of nibs beside the kilogram in the bowl."""
    dark = ROOT / "examples" / "weir-lane-68.toml"
    bowl, shelf = "1 kg nibs; 540 g sugar", "300 g nibs; 100 g butter"
    found = document("recipe", dark, "--in-bowl", bowl, "--have", shelf, "--total", "2 kg")
    weigh = {row["label"]: row["weigh_g"] for row in found["parts"]}
    left = {row["part"]: row["left_g"] for row in found["left_over"]}
    assert weigh["cocoa_nibs_roasted"] >= 1000
    assert weigh["sugar_granulated"] >= 540
    assert left["cocoa_nibs_roasted"] == pytest.approx(1300 - 0.615 * 1687.5)
    assert any("short of that" in remark for remark in found["remarks"])


def test_one_stock_counts_for_two_additions(tmp_path: Path) -> None:
    file = tmp_path / "twice.toml"
    file.write_text(
        """
        part = [
            { ingredient = "cocoa_mass", share_percent = 60 },
            { ingredient = "sugar_granulated", label = "sugar, first", share_percent = 25 },
            { ingredient = "sugar_granulated", label = "sugar, last", share_percent = 15 },
        ]
        """,
        encoding="utf-8",
    )
    found = document("recipe", file, "--have", "1 kg sugar; 1 kg cocoa mass")
    assert found["total_g"] == pytest.approx(1000 / 0.6)
    assert found["left_over"] == [
        {"part": "sugar_granulated", "name": "Granulated sugar", "left_g": pytest.approx(1000 - 400 / 0.6)},
        {"part": "cocoa_mass", "name": "Cocoa mass", "left_g": pytest.approx(0.0, abs=1e-6)},
    ]
    assert "333 g of granulated sugar" in nibsmith(
        "recipe", file, "--have", "1 kg sugar; 1 kg cocoa mass"
    ).stdout.replace("\u00a0", " ")
