"""Who must not eat it: declare or unknown, never a bare good."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.answer import Verdict
from nibsmith.answers.context import Context
from nibsmith.answers.who_must_not import HISTORY, who_must_not
from nibsmith.science.mixture import Form, Kind, Part, Recipe, ingredients, own_ingredient, part


def recipe(*parts: Part) -> Recipe:
    return Recipe("bar", Form.BAR, parts)


PLAIN = (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0))


def test_nothing_found_is_unknown_and_says_whose_history_is_not_known() -> None:
    answer = who_must_not(recipe(*PLAIN), Context())

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.word == "None in the recipe."
    assert "US nine" in answer.sentence
    assert "EU fourteen" in answer.sentence
    assert HISTORY in answer.sentence


def test_what_both_lists_hold_is_named_once() -> None:
    answer = who_must_not(recipe(*PLAIN, part("milk_powder_whole", 10.0), part("hazelnut", 5.0)), Context())

    assert answer.verdict is Verdict.DECLARE
    assert answer.word == "Milk and hazelnut."
    assert answer.sentence == f"Declare milk and hazelnut. {HISTORY}"


def test_what_one_list_holds_says_which() -> None:
    answer = who_must_not(recipe(*PLAIN, part("pine_nut", 5.0), part("oat_flour", 5.0)), Context())

    assert "pine nut (US nine only)" in answer.sentence
    assert "oats (EU fourteen only)" in answer.sentence


def test_unknown_allergens_are_named_beside_what_is_found() -> None:
    own = own_ingredient("House paste", Kind.OTHER_FOOD, {"fat_g": 50.0})

    alone = who_must_not(recipe(*PLAIN, part(own, 5.0)), Context())
    beside = who_must_not(recipe(*PLAIN, part(own, 5.0), part("sesame_whole", 5.0)), Context())

    assert (alone.verdict, alone.word) == (Verdict.UNKNOWN, "Cannot tell.")
    assert beside.verdict is Verdict.DECLARE
    for answer in (alone, beside):
        assert "House paste" in answer.sentence
        assert "None of" not in answer.sentence


def test_what_may_be_held_is_to_be_asked() -> None:
    answer = who_must_not(recipe(*PLAIN, part("apricot_dried", 5.0)), Context())

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.word == "Ask your supplier."
    assert "ask the supplier" in answer.sentence
    assert "sulphites" in answer.sentence


def test_coconut_milk_powder_is_to_be_asked_for_milk() -> None:
    assert (
        "milk: ask the supplier"
        in who_must_not(recipe(*PLAIN, part("coconut_milk_powder", 5.0)), Context()).sentence
    )


def test_words_on_no_list_are_told() -> None:
    own = own_ingredient("Mix", Kind.OTHER_FOOD, {}, allergens_us=("weeds",), allergens_known=True)

    assert "weeds" in who_must_not(recipe(*PLAIN, part(own, 5.0)), Context()).sentence


def test_a_market_without_a_list_here_is_told() -> None:
    answer = who_must_not(recipe(*PLAIN), Context(markets=("us", "jp")))

    assert any("JP" in reason for reason in answer.reasons)


def test_how_to_declare_follows_the_markets() -> None:
    nuts = recipe(*PLAIN, part("almond", 5.0))

    assert any("Contains" in reason for reason in who_must_not(nuts, Context(markets=("us",))).reasons)
    assert not any("Contains" in reason for reason in who_must_not(nuts, Context(markets=("eu",))).reasons)


@pytest.mark.parametrize(
    ("key", "word"), [("xylitol", "Xylitol"), ("cocoa_nibs_raw", "Salmonella"), ("raisin", "dogs")]
)
def test_usual_cautions_are_shown(key: str, word: str) -> None:
    answer = who_must_not(recipe(*PLAIN, part(key, 5.0)), Context())

    assert any(word in caution for caution in answer.cautions)


def test_sources_are_those_of_the_lists_and_of_what_is_found() -> None:
    plain = who_must_not(recipe(*PLAIN), Context())
    nuts = who_must_not(recipe(*PLAIN, part("pecan", 5.0)), Context())

    assert [source.key for source in plain.sources] == ["usc-21-321qq", "eu-1169-2011"]
    assert "fda-allergens-2025" in {source.key for source in nuts.sources}
    assert len(nuts.sources) == len(set(nuts.sources))


def test_each_list_opens_to_what_it_found() -> None:
    answer = who_must_not(recipe(*PLAIN, part("pine_nut", 5.0)), Context())

    us, eu = answer.details
    assert us.rows == (("Pine nut (tree nuts)", "yes", "Pine nuts"),)
    assert eu.rows == ()


@given(st.lists(st.sampled_from(sorted(ingredients())), min_size=1, max_size=8, unique=True))
def test_it_is_never_good_and_always_tells_of_the_machine(keys: list[str]) -> None:
    answer = who_must_not(recipe(*(part(key, 1.0) for key in keys)), Context())

    assert answer.verdict in (Verdict.DECLARE, Verdict.UNKNOWN)
    assert HISTORY in answer.sentence
    assert (answer.verdict is Verdict.DECLARE) == any(
        [
            word
            for word in (*ingredients()[key].allergens_us, *ingredients()[key].allergens_eu)
            if "?" not in word
        ]
        for key in keys
    )
