"""``nibsmith balance``, ``rescue`` and ``share-out`` as processes of their own."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from scipy.optimize import linprog

from command_line import ROOT, document, nibsmith, nibsmith_here
from nibsmith.answers.recipe_text import read_recipe

DARK = ROOT / "examples" / "weir-lane-68.toml"  # 61.5 nibs, 6.5 butter, 32.0 sugar
MILK = (
    ROOT / "examples" / "harbour-milk-46.toml"
)  # 580 nibs, 345 butter, 610 sugar, 460 milk powder, 5 lecithin
SOFTER = ROOT / "examples" / "softer-harbour.toml"
SLIPPED = ROOT / "examples" / "slipped-scoop.toml"


def masses(rows: Any) -> dict[str, float]:
    return {row["label"]: row["mass_g"] for row in rows["parts"]}


def with_limits(tmp_path: Path, limits: str, recipe: Path = DARK) -> Path:
    file = tmp_path / "limits.toml"
    file.write_text(f"{recipe.read_text(encoding='utf-8')}\n[limits]\n{limits}\n", encoding="utf-8")
    return file


def test_a_balance_moves_the_fewest_grams(tmp_path: Path) -> None:
    """Sugar at most 28 % of 1 kg: 40 g go out and 40 g come in, as an independent linear program has it."""
    found = document("balance", with_limits(tmp_path, "share.sugar_granulated = { max = 28 }"))
    # x = (in, out) of nibs, butter, sugar; nothing may be negative, the total stays
    best = linprog(
        c=[1, 1, 1, 1, 1, 1],
        A_ub=[[0, 0, 0, 0, 1, -1]],
        b_ub=[280 - 320],
        A_eq=[[1, -1, 1, -1, 1, -1]],
        b_eq=[0],
        bounds=[(0, None)] * 6,
    )
    assert found["moved_g"] == pytest.approx(best.fun, abs=1e-5)
    assert masses(found["after"])["sugar_granulated"] == pytest.approx(280, abs=1e-5)
    assert sum(masses(found["after"]).values()) == pytest.approx(1000, abs=1e-5)
    assert [row["kept"] for row in found["limits"]] == [True]
    assert sum(row["weigh_g"] for row in found["weigh_g"]) == 1000


def test_a_balance_to_a_name_earns_it(tmp_path: Path) -> None:
    out = tmp_path / "balanced.toml"
    done = nibsmith("balance", DARK, "--called", "eu:milk", "--offer", "whole milk powder", "--write", out)
    assert done.returncode == 0, done.stderr
    names = document("recipe", out)["names"]
    assert any(
        (name["jurisdiction"], name["key"], name["allowed"]) == ("eu", "milk", "yes") for name in names
    )


def test_the_foot_of_a_balance_names_the_places_that_were_asked() -> None:
    asked = nibsmith("balance", DARK, "--called", "us:semisweet", "--called", "ca:dark").stdout
    assert "Names for US, Canada, estimated from the recipe." in " ".join(asked.split())
    assert "Names for EU" not in asked


def test_the_sentence_the_table_and_the_remedy_say_the_grams_that_are_weighed() -> None:
    """32.3 g would do; the scale shows 33, and 345 + 33 = 378, 610 - 33 = 577."""
    found, said = document("balance", SOFTER), nibsmith("balance", SOFTER).stdout.replace("\u00a0", " ")
    weighed = {row["part"]: row["weigh_g"] for row in found["weigh_g"]}
    assert weighed["cocoa_butter"] == 378
    assert weighed["sugar_granulated"] == 577
    assert "33 g more cocoa butter and 33 g less granulated sugar; 66 g moved" in " ".join(said.split())
    assert "+33 g" in said
    assert "378 g" in said
    assert {change["part"]: change["add_g"] for change in found["remedy"]["changes"]} == {
        "cocoa_butter": 33,
        "sugar_granulated": -33,
    }
    assert found["remedy"]["checked"]


def test_the_written_recipe_is_the_balanced_one_as_weighed(tmp_path: Path) -> None:
    out = tmp_path / "balanced.toml"
    found = document("balance", SOFTER, "--write", out)
    text = out.read_text(encoding="utf-8")
    assert tomllib.loads(text)["name"] == "Softer Harbour"
    written = {part.label: part.mass_g for part in read_recipe(text).recipe.parts}
    assert written == {row["part"]: row["weigh_g"] for row in found["weigh_g"]}
    assert written == pytest.approx(masses(found["after"]), abs=1)  # a gram of the scale
    assert 40 <= document("recipe", out)["mixture"]["total_fat_percent"] <= 42


def test_limits_that_cannot_all_hold_are_named_with_what_they_must_give(tmp_path: Path) -> None:
    file = with_limits(tmp_path, "share.sugar_granulated = { max = 10 }\nsugars_percent = { min = 20 }")
    done = nibsmith("balance", file)
    assert done.returncode == 1
    assert "No such recipe." in done.stdout
    found = nibsmith("balance", file, "--json")
    assert found.returncode == 1
    assert '"possible": false' in found.stdout
    assert "Granulated sugar" in done.stdout
    assert "total sugars" in done.stdout.lower()


def test_the_cheapest_recipe_costs_no_more_than_the_nearest(tmp_path: Path) -> None:
    file = with_limits(tmp_path, "total_fat_percent = { min = 38, max = 45 }\nsugars_percent = { max = 36 }")
    nearest, cheapest = document("balance", file), document("balance", file, "--cheapest")
    assert cheapest["cost_per_kg_after"] < nearest["cost_per_kg_after"]
    assert cheapest["moved_g"] > nearest["moved_g"]


@pytest.mark.parametrize("arguments", [(), ("--why",)])
def test_the_text_of_a_balance_fits_80_columns(arguments: tuple[str, ...]) -> None:
    done = nibsmith("balance", SOFTER, *arguments)
    assert done.returncode == 0, done.stderr
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "● Balanced." in done.stdout


def test_a_rescue_adds_the_least_that_brings_every_share_within_tolerance() -> None:
    """1080 g of nibs and 610 g of sugar: half a point is allowed, so sugar may be 32.5 % of the whole."""
    found = document("rescue", SLIPPED)
    assert found["possible"]
    bowl, after = masses(found["bowl"]), masses(found["after"])
    assert all(after[label] >= bowl[label] - 1e-6 for label in bowl)
    total = sum(after.values())
    wanted = {"cocoa_nibs_roasted": 61.5, "cocoa_butter": 6.5, "sugar_granulated": 32.0}
    # the smallest whole has the sugar at the top of its tolerance; the scale may add a gram to two additions
    assert 0 <= total - 610 / 0.325 < 2
    for label, percent in wanted.items():
        assert abs(after[label] / total * 100 - percent) <= 0.5 + 1e-6
    assert found["remedy"]["checked"]
    assert found["added_g"] == pytest.approx(610 / 0.325 - 1690, abs=1e-5)
    assert sum(row["weigh_g"] for row in found["additions"]) == pytest.approx(total - 1690, abs=1e-5)


def test_what_cannot_go_in_any_more_stands_in_the_way() -> None:
    done = nibsmith("rescue", SLIPPED, "--stage", "late")
    assert done.returncode == 1
    assert "No way back." in done.stdout
    assert "it cannot go in any more at this stage" in " ".join(done.stdout.split())


def test_a_thing_that_is_not_in_the_recipe_is_diluted_or_stands_in_the_way() -> None:
    done = nibsmith("rescue", DARK, "--in-bowl", "1 kg nibs; 30 g salt")
    assert done.returncode == 1
    assert "not in the recipe" in " ".join(done.stdout.split())


def test_a_bowl_that_fits_needs_nothing() -> None:
    done = nibsmith("rescue", DARK, "--in-bowl", "615 g nibs; 65 g butter; 320 g sugar")
    assert done.returncode == 0
    assert "● It fits." in done.stdout


def test_the_shelf_limits_a_rescue() -> None:
    """74 g of nibs are wanted at the least; with 10 g of them on the shelf there is no way."""
    done = nibsmith("rescue", SLIPPED, "--have", "10 g nibs")
    assert done.returncode == 1
    assert "No way back." in done.stdout


def test_a_stock_is_shared_out_equally() -> None:
    found = document("share-out", "5 kg nibs", DARK, MILK)
    assert [row["takes_g"] for row in found["portions"]] == [2500.0, 2500.0]
    assert found["portions"][0]["batch"]["total_g"] == pytest.approx(2500 / 0.615)
    assert found["portions"][1]["batch"]["total_g"] == pytest.approx(2500 / 0.29)
    assert found["left_g"] == 0.0


def test_a_stock_is_shared_out_by_weight_with_one_factor_for_all() -> None:
    """2 kg and 1 kg want 1230 and 290 g of nibs: 1000 g are enough for 1000/1520 of each."""
    found = document("share-out", "1 kg nibs", DARK, MILK, "--by", "weight", "--wanted", "2 kg; 1 kg")
    batches = [row["batch"]["total_g"] for row in found["portions"]]
    assert batches == [pytest.approx(2000 * 1000 / 1520), pytest.approx(1000 * 1000 / 1520)]
    assert found["short_g"] == pytest.approx(520)


def test_a_stock_is_shared_out_by_bars_without_overdrawing_it() -> None:
    found = document("share-out", "1 kg nibs", DARK, MILK, "--by", "bars", "--wanted", "20; 20")
    assert all(row["bars"] <= 20 for row in found["portions"])
    assert sum(row["takes_g"] for row in found["portions"]) <= 1000
    assert sum(row["takes_g"] for row in found["portions"]) + found["left_g"] == pytest.approx(1000)


def test_the_weights_of_a_shared_batch_add_to_it() -> None:
    said = nibsmith("share-out", "1 kg nibs", DARK, MILK, "--by", "bars", "--wanted", "20; 20").stdout
    lines = said.replace("\u00a0", " ").replace("\u202f", " ").splitlines()
    row = next(line for line in lines if line.startswith("  Harbour milk 46"))
    below = lines[lines.index("Harbour milk 46") + 1 :]
    assert row.endswith("327 g  1 128 g    15")
    weights = [line for line in below if "!" not in line]
    assert sum(int(line.rsplit("  ", 1)[1].removesuffix(" g")) for line in weights) == 1128
    assert below[-1] == "  ! The scale is too coarse for the sunflower lecithin."
    assert "whole bars leave 17 g of it" in " ".join(" ".join(lines).split())


def test_an_own_name_keeps_its_letters_in_a_sharing(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    own = 'ingredient = { name = "Nibs of Lot B", kind = "nibs", fat_g = 53 }'
    file.write_text(f'[[part]]\nlabel = "lot"\n{own}\nshare_percent = 100\n', encoding="utf-8")
    assert "200 g of Nibs of Lot B" in document("share-out", "200 g lot", file)["sentence"].replace(
        "\u00a0", " "
    )


def test_the_text_of_a_sharing_fits_80_columns() -> None:
    done = nibsmith("share-out", "1 kg nibs", DARK, MILK, "--by", "bars", "--wanted", "20; 20")
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "Harbour milk 46" in done.stdout


REFUSED = [
    (["balance", DARK], "nothing to balance to"),
    (["balance", DARK, "--called", "eu:milck"], "limits.called: This is not known here"),
    (["balance", DARK, "--called", "milk"], "limits.called: A name is a market"),
    (["balance", DARK, "--offer", "unobtainium"], "--offer: No ingredient has this key"),
    (["rescue", DARK], "not said what is in the bowl"),
    (["rescue", DARK, "--in-bowl", "1 kg nibs", "--stage", "soon"], "invalid choice: 'soon'"),
    (["share-out", "5kg", DARK], "STOCK: Thing 1: The amount has no name"),
    (["share-out", "nibs", DARK], "STOCK: Thing 1: There is no amount"),
    (["share-out", "1 kg nibs; 1 kg sugar", DARK], "STOCK: This is not one thing"),
    (["share-out", "1 kg salt", DARK], "does not use salt"),
    (["share-out", "1 kg nibs", DARK, MILK, "--by", "weight"], "does not say its weight"),
    (["share-out", "1 kg nibs", DARK, MILK, "--by", "bars"], "does not say how many bars"),
    (["share-out", "1 kg nibs", DARK, MILK, "--by", "bars", "--wanted", "20"], "needs its own number"),
    (
        ["share-out", "1 kg nibs", DARK, MILK, "--by", "bars", "--wanted", "20;x"],
        "--wanted: This is no number",
    ),
    (["share-out", "1 kg nibs", DARK, SLIPPED, "--by", "bars", "--wanted", "9;9"], "say --mould"),
    (["share-out", "1 kg nibs", DARK, "no.toml"], "no.toml: No such file"),
]


@pytest.mark.parametrize(("arguments", "said"), REFUSED, ids=lambda value: " ".join(map(str, value))[-60:])
def test_a_refusal_is_one_line_and_a_number(arguments: list[str | Path], said: str) -> None:
    done = nibsmith_here(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert said in done.stderr


def test_a_limit_that_is_not_known_says_where_it_stands(tmp_path: Path) -> None:
    file = with_limits(tmp_path, "total_fat_precent = { min = 32 }")
    done = nibsmith("balance", file)
    assert done.returncode == 2
    assert "limits.total_fat_precent" in done.stderr
    assert "total_fat_percent" in done.stderr


def test_a_charge_under_the_least_of_the_kit_is_said_with_the_batch_it_is_of() -> None:
    found = document("share-out", "300 g nibs", MILK, DARK)
    milk, dark = (row["remarks"] for row in found["portions"])
    assert milk == ["The scale is too coarse for the sunflower lecithin."]
    assert [words.replace("\u00a0", " ") for words in dark] == [
        "244 g of it is ground, and the stone grinder needs 500 g at least."
    ]


def test_a_small_balance_says_what_cannot_be_weighed() -> None:
    remarks = " ".join(document("balance", SOFTER, "--total", "400 g")["remarks"]).replace("\u00a0", " ")
    assert "the stone grinder needs 500 g at least" in remarks
    assert "The scale is too coarse for the sunflower lecithin." in remarks


def test_a_name_of_another_form_is_no_balance() -> None:
    done = nibsmith("balance", DARK, "--called", "eu:filled")
    assert done.returncode == 1
    assert "Not by amounts alone." in done.stdout
    assert "sold as a bar, it does not go by this name" in " ".join(done.stdout.split())
    assert "Balanced." not in done.stdout


def test_money_of_a_balance_has_the_digits_of_its_currency(tmp_path: Path) -> None:
    file = tmp_path / "yen.toml"
    file.write_text(
        """
        workshop = { bean_yield_percent = 80, currency = "JPY" }
        part = [
            { ingredient = "cocoa_nibs_roasted", share_percent = 70, price_per_kg = 800 },
            { ingredient = "sugar_granulated", share_percent = 30, price_per_kg = 200 },
        ]
        limits = { cost_per_kg = { max = 900 } }
        """,
        encoding="utf-8",
    )
    # 0.7 x 800 / 0.8 + 0.3 x 200 = 760 a kilogram weighed
    said = nibsmith("balance", file).stdout.replace("\u00a0", " ")
    assert "A kilogram of what is weighed costs 760 JPY; before 760 JPY." in said
    assert "760 JPY a kilogram of what is weighed" in " ".join(nibsmith("recipe", file).stdout.split())


def test_a_thick_recipe_is_balanced_until_it_pours(tmp_path: Path) -> None:
    thick = tmp_path / "thick.toml"
    text = DARK.read_text(encoding="utf-8")
    thick.write_text(
        text.replace("61.5", "55").replace("6.5", "0.5").replace("32.0", "44.5"), encoding="utf-8"
    )
    out = tmp_path / "pours.toml"
    done = nibsmith("balance", thick, "--pours", "--write", out)
    assert done.returncode == 0, done.stderr
    assert "● thin enough to pour into bar moulds (estimated again on these amounts)" in done.stdout
    before, after = (
        next(row for row in document("recipe", file)["answers"] if row["question"] == "pour")
        for file in (thick, out)
    )
    assert (before["verdict"], after["verdict"]) == ("watch", "good")
