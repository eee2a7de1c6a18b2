"""The document of a recipe: plain values, nothing invented."""

from __future__ import annotations

import json
from typing import Any

import pytest

from nibsmith.answers.answer import Answer, Change, Citation, Detail, Remedy, Verdict
from nibsmith.answers.ask import ask_all
from nibsmith.answers.context import Context
from nibsmith.answers.figure_keys import figure_key
from nibsmith.answers.report import Extras, report
from nibsmith.science.errors import InputError
from nibsmith.science.kit import kit
from nibsmith.science.mixture import (
    PROPERTIES,
    Form,
    Kind,
    Recipe,
    as_weighed,
    finished,
    own_ingredient,
    part,
    product,
)
from nibsmith.science.tables import Status

HAZEL = Recipe(
    "Hazel",
    Form.BAR,
    (
        part("cocoa_nibs_roasted", 583.333333333),
        part("sugar_granulated", 316.666666667),
        part("hazelnut_dry_roasted", 100.0),
    ),
)
STONE = Context(kit=kit("stone"))


def read_back(recipe: Recipe, context: Context, **more: Any) -> Any:
    return json.loads(json.dumps(report(recipe, context, **more), allow_nan=False))


def test_the_mixture_is_the_finished_mass_and_the_product_the_whole() -> None:
    found = read_back(HAZEL, STONE)
    mass, whole = finished(HAZEL, STONE.end_water_percent), product(HAZEL, STONE.end_water_percent)
    for key in set(PROPERTIES) - {"cocoa_as_weighed"}:
        for where, mixture in (("mixture", mass), ("product", whole)):
            wanted = round(mixture.percent(key), 6) if mixture.knows(key) else None
            assert found[where][figure_key(key)] == wanted
    assert found["mixture"]["water_percent"] == STONE.end_water_percent
    assert found["mixture"]["other_fat_percent"] == 0.0
    assert found["product"]["other_fat_percent"] > 0.0


def test_the_cocoa_of_the_trade_is_counted_before_water_leaves() -> None:
    found = read_back(HAZEL, STONE)
    assert found["mixture"]["cocoa_as_weighed_percent"] == pytest.approx(583.333333333 / 9, rel=0, abs=5e-7)
    assert found["product"]["cocoa_as_weighed_percent"] == pytest.approx(58.333333, rel=0, abs=5e-7)


def test_every_key_of_a_property_is_its_own() -> None:
    keys = [figure_key(key) for key in PROPERTIES]
    assert len(set(keys)) == len(keys)
    assert figure_key("energy_eu_kj") == "energy_eu_kj_per_100g"


def test_what_varies_has_a_low_and_a_high_end_around_it() -> None:
    found = read_back(HAZEL, STONE)
    assert found["mixture_range"]
    for key, (low, high) in found["mixture_range"].items():
        assert low <= found["mixture"][key] <= high


def test_an_unknown_figure_is_null_and_names_who_lacks_it() -> None:
    own = own_ingredient("House nibs", Kind.NIB, {"fat_g": 54.0})
    found = read_back(Recipe("bar", Form.BAR, (part(own, 70.0), part("sugar_granulated", 30.0))), STONE)
    assert found["mixture"]["cocoa_butter_percent"] == 37.8
    assert found["mixture"]["dry_cocoa_solids_percent"] is None
    assert found["mixture_basis"] == "machine"  # without the water of the nibs it cannot be told what leaves
    lacking = {row["figure"]: row["missing"] for row in found["unknown"] if row["of"] == "mixture"}
    nulls = {key for key, value in found["mixture"].items() if value is None}
    assert nulls - {"cocoa_butter_of_fat_percent"} == lacking.keys()
    assert lacking["dry_cocoa_solids_percent"] == ["House nibs"]


def test_numbers_have_six_decimals_and_no_minus_before_zero() -> None:
    answer = Answer("q", "Q?", Verdict.GOOD, "Yes.", "It is.", figure=0.1 + 0.2, low=-1e-12, high=1 / 3)
    found = read_back(HAZEL, STONE, answers=[answer])["answers"][0]
    assert (found["figure"], found["high"]) == (0.3, 0.333333)
    assert str(found["low"]) == "0.0"


def test_an_answer_keeps_everything_it_says() -> None:
    answer = Answer(
        question="pour",
        title="Will it pour?",
        verdict=Verdict.WATCH,
        word="Thick.",
        sentence="It holds.",
        figure=5.1,
        unit="Pa·s",
        low=2.6,
        high=10.0,
        basis="finished mass",
        reasons=("Cold.",),
        remedies=(
            Remedy("Add butter.", (Change("butter", 20.0, "cocoa_butter"), Change("a", -5.0)), 1020.0, True),
        ),
        sources=(Citation("key", "table 2", Status.MEMORY),),
        cautions=("Hot.",),
        details=(Detail("T", ("a", "b"), (("1", "2"),), "n"),),
    )
    assert read_back(HAZEL, STONE, answers=[answer])["answers"] == [
        {
            "question": "pour",
            "title": "Will it pour?",
            "verdict": "watch",
            "word": "Thick.",
            "sentence": "It holds.",
            "figure": 5.1,
            "unit": "Pa·s",
            "low": 2.6,
            "high": 10.0,
            "basis": "finished mass",
            "reasons": ["Cold."],
            "remedies": [
                {
                    "sentence": "Add butter.",
                    "changes": [
                        {"part": "butter", "add_g": 20.0, "ingredient": "cocoa_butter"},
                        {"part": "a", "add_g": -5.0, "ingredient": None},
                    ],
                    "new_total_g": 1020.0,
                    "checked": True,
                }
            ],
            "sources": [{"key": "key", "place": "table 2", "status": "memory"}],
            "cautions": ["Hot."],
            "details": [{"title": "T", "head": ["a", "b"], "rows": [["1", "2"]], "note": "n"}],
        }
    ]


def test_weights_and_bowl_come_from_what_was_worked_out() -> None:
    weigh = HAZEL.weighing({"hazelnut_dry_roasted": 90.0})
    bowl = HAZEL.weighing({"hazelnut_dry_roasted": 0.0})
    extras = Extras(weigh=weigh, weigh_g={"hazelnut_dry_roasted": 90.0}, bowl=bowl, batch_limit="sugar")
    found = read_back(HAZEL, STONE, extras=extras)
    assert found["total_g"] == pytest.approx(990.0)
    assert found["parts"][2] | {"share_percent": 10.0, "mass_g": 90.0, "weigh_g": 90.0} == found["parts"][2]
    assert found["as_weighed"]["total_g"] == pytest.approx(900.0)
    assert found["as_weighed"]["cocoa_butter_percent"] == round(as_weighed(bowl).percent("cocoa_butter"), 6)
    assert found["batch_limit"] == "sugar"


def test_a_recipe_of_which_nothing_is_ground_is_refused() -> None:
    with pytest.raises(InputError, match="Nothing goes into the machine"):
        report(Recipe("nuts", Form.BAR, (part("almond", 10.0),)), Context())


def test_all_questions_are_asked_in_the_order_a_maker_asks_them() -> None:
    order = ["weigh_out", "call_it", "pour", "snap", "smooth", "keep", "who_must_not", "cost"]
    asked = [answer.question for answer in ask_all(HAZEL, STONE)]
    assert asked == [question for question in order if question in asked]
    assert {"weigh_out", "call_it", "snap", "keep", "who_must_not", "cost"} <= set(asked)


def test_the_water_of_a_kit_and_what_it_is_a_share_of_have_a_range() -> None:
    found = read_back(HAZEL, STONE)
    stone = kit("stone").end_water_percent
    assert stone is not None
    assert found["mixture_range"]["water_percent"] == [stone.low, stone.high]
    low, high = found["mixture_range"]["dry_cocoa_solids_percent"]
    assert low < found["mixture"]["dry_cocoa_solids_percent"] < high
    assert "cocoa_as_weighed_percent" not in found["mixture_range"]
