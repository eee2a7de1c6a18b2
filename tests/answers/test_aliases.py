"""The closed list of words for ingredients."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.aliases import Ask, One, Unknown, aliases, what_is_it
from nibsmith.science.mixture.ingredients import ingredients
from nibsmith.science.tables import load_data

ASKS = load_data("aliases")["ask"]
LISTED = [(name, key) for key, names in aliases().items() for name in names]


def test_every_ingredient_has_plain_words_and_nothing_else_has() -> None:
    assert set(aliases()) == set(ingredients())
    assert all(aliases().values())


@pytest.mark.parametrize(("name", "key"), LISTED)
def test_every_listed_name_means_its_one_ingredient(name: str, key: str) -> None:
    assert what_is_it(name) == One(key)


def test_no_name_is_listed_twice() -> None:
    names = [name.casefold() for name, _ in LISTED] + [
        word.casefold() for ask in ASKS for word in ask["words"]
    ]  # type: ignore[attr-defined]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("row", ASKS)  # type: ignore[arg-type]
def test_every_question_offers_ingredients_of_the_table(row: dict[str, list[str]]) -> None:
    assert set(row["choices"]) <= set(ingredients())
    assert len(row["choices"]) == len(set(row["choices"]))
    for word in row["words"]:
        asked = what_is_it(word)
        assert isinstance(asked, Ask)
        assert asked.choices == tuple(row["choices"])
        assert "?" in asked.question


def test_every_question_with_one_choice_says_why_it_is_asked() -> None:
    single = [row for row in ASKS if len(row["choices"]) == 1]  # type: ignore[attr-defined]
    assert single
    assert all("not in the table" in row["question"] or "neither" in row["question"] for row in single)


@pytest.mark.parametrize("key", list(ingredients()))
def test_a_name_or_key_of_the_table_means_that_ingredient_or_asks_with_it_among_the_choices(key: str) -> None:
    for words in (key, ingredients()[key].name):
        meaning = what_is_it(words)
        assert meaning == One(key) or (isinstance(meaning, Ask) and key in meaning.choices)


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("nibs", "cocoa_nibs_roasted"),
        ("Roasted Nibs", "cocoa_nibs_roasted"),
        ("the nib", "cocoa_nibs_roasted"),
        ("raw nibs", "cocoa_nibs_raw"),
        ("sugar", "sugar_granulated"),
        ("CASTER  SUGAR", "sugar_granulated"),
        ("cane sugar", "sugar_granulated"),
        ("icing sugar", "sugar_powdered"),
        ("confectioner’s sugar", "sugar_powdered"),
        ("cocoa butter", "cocoa_butter"),
        ("butter of cocoa", "cocoa_butter"),
        ("milk powder, whole", "milk_powder_whole"),
        ("non-fat milk powder", "milk_powder_skim"),
        ("pécans", "pecan"),
        ("brazil nut", "brazilnut"),
        ("freeze-dried raspberry", "raspberry_freeze_dried"),
        ("dried cranberry", "cranberry_dried"),
    ],
)
def test_the_way_of_typing_a_name_makes_no_difference(words: str, key: str) -> None:
    assert what_is_it(words) == One(key)


@pytest.mark.parametrize(
    ("words", "among"),
    [
        ("butter", {"cocoa_butter", "butteroil"}),
        ("lecithin", {"lecithin_soy", "lecithin_sunflower"}),
        ("milk powder", {"milk_powder_whole", "milk_powder_skim"}),
        ("hazelnuts", {"hazelnut", "hazelnut_dry_roasted"}),
        ("raspberries", {"raspberry_freeze_dried", "raspberry_raw"}),
        ("vanilla", {"vanilla_bean", "vanilla_extract"}),
        ("chillies", {"cayenne", "chile_sundried", "chile_ancho"}),
        ("powdered sugar", {"sugar_powdered", "sugar_granulated"}),
    ],
)
def test_a_word_with_several_meanings_asks_which(words: str, among: set[str]) -> None:
    asked = what_is_it(words)
    assert isinstance(asked, Ask)
    assert set(asked.choices) == among


def all_words(key: str) -> set[str]:
    """Every word that stands in a name of an ingredient, in a listed one or one that asks with it."""
    asks = [row["words"] for row in ASKS if key in row["choices"]]  # type: ignore[attr-defined]
    names = [ingredients()[key].name, *aliases()[key], *(word for words in asks for word in words)]
    return {word.strip(",").casefold() for name in names for word in name.split()}


@pytest.mark.parametrize("head", ["powder", "flour", "paste", "syrup"])
def test_a_word_for_a_form_offers_all_that_is_called_so(head: str) -> None:
    asked = what_is_it(head)
    assert isinstance(asked, Ask)
    # Granulated sugar is a powder only once it was milled; it is asked for as "sugar powder".
    called_so = {key for key in ingredients() if head in all_words(key)} - {"sugar_granulated"}
    assert called_so <= set(asked.choices)


@pytest.mark.parametrize("soya", ["lecithin", "vegan milk powder", "emulsifier"])
def test_soya_is_never_chosen_for_the_maker(soya: str) -> None:
    assert isinstance(what_is_it(soya), Ask)


@pytest.mark.parametrize(
    ("words", "near"),
    [("cane suger", "cane sugar"), ("cinamon", "cinnamon"), ("vanila", "vanilla"), ("nubs", "nibs")],
)
def test_a_slip_offers_near_names_and_puts_none_in_its_place(words: str, near: str) -> None:
    meaning = what_is_it(words)
    assert isinstance(meaning, Unknown)
    assert near in meaning.near
    assert len(meaning.near) <= 3


@pytest.mark.parametrize(
    "words", ["cocoa and butter", "coconut and milk powder", "beans", "roasted pecans", "", "§", "チョコ"]
)
def test_what_is_not_in_the_list_stays_unknown(words: str) -> None:
    assert isinstance(what_is_it(words), Unknown)


@pytest.mark.parametrize("words", ["CHECK_milk", "CHECK_dark_70_85", "Candies, milk chocolate"])
def test_a_finished_chocolate_kept_for_checking_is_no_ingredient(words: str) -> None:
    assert isinstance(what_is_it(words), Unknown)


def test_every_near_name_can_itself_be_typed() -> None:
    for slip in ("almnods", "roasted hazelnts", "milk powdr", "coco", "peper", "dryed figs"):
        meaning = what_is_it(slip)
        assert isinstance(meaning, Unknown)
        assert meaning.near
        assert not any(isinstance(what_is_it(name), Unknown) for name in meaning.near)


@given(words=st.text(max_size=200))
def test_any_words_have_a_meaning_or_none(words: str) -> None:
    meaning = what_is_it(words)
    if isinstance(meaning, One):
        assert meaning.key in ingredients()


@given(name=st.sampled_from([name for name, _ in LISTED]), seed=st.randoms(use_true_random=False))
def test_the_order_of_the_words_makes_no_difference(name: str, seed: st.DataObject) -> None:
    words = name.split()
    seed.shuffle(words)  # type: ignore[attr-defined]
    assert what_is_it(" ".join(words).upper()) == what_is_it(name)


def test_a_very_long_name_is_unknown() -> None:
    assert isinstance(what_is_it("nib sugar " * 500), Unknown)
