"""A list of things typed in words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.quantities import AmbiguousQuantity, Thing, format_mass, parse_things


def masses(text: str) -> list[tuple[str, Decimal | None]]:
    return [(thing.words, thing.mass_g) for thing in parse_things(text)]


NIBS_AND_SUGAR = [("nibs", Decimal(1500)), ("sugar", Decimal(500))]


@pytest.mark.parametrize(
    "text",
    [
        "1,5 kg nibs; 500 g sugar",
        "1,5 kg nibs, 500 g sugar",
        "1.5 kg nibs\n500 g sugar",
        "1.5 kg nibs\r\n500 g sugar\r\n",
        "nibs 1.5 kg; sugar 500 g",
        "nibs: 1,5 kg, sugar: 500 g",
        "1.5kg nibs;500g sugar",
        "1 500 g of nibs;; 500 g of sugar;",
        "1,5 kg nibs,\n500 g sugar,",
        "nibs: 1 500 g; 500 g: sugar",
        "nibs 1\u202f500 g; sugar 500\u00a0g",
        "1\u202f500\u00a0g nibs； 500 g sugar",
    ],
)
def test_a_list_is_cut_into_its_things(text: str) -> None:
    assert masses(text) == NIBS_AND_SUGAR


def test_two_units_belong_to_one_amount() -> None:
    assert masses("1 lb 2 oz nibs, sugar 1lb2oz") == [
        ("nibs", Decimal("510.29141625")),
        ("sugar", Decimal("510.29141625")),
    ]


def test_a_name_with_digits_is_parted_from_its_amount_by_a_colon_or_by_coming_second() -> None:
    assert masses("Dark 70: 500 g; 500 g Dark 70") == [("Dark 70", Decimal(500))] * 2


def test_names_keep_their_letters_and_hyphens() -> None:
    text = "20 g freeze-dried raspberries; 5 g Crème (Dulce); 3 g E471"
    assert [words for words, _ in masses(text)] == ["freeze-dried raspberries", "Crème (Dulce)", "E471"]


def test_a_ratio_is_read_as_parts() -> None:
    assert parse_things("2 parts nibs, 1 part sugar; butter ½ part; 2parts milk powder") == (
        Thing("nibs", parts=Decimal(2)),
        Thing("sugar", parts=Decimal(1)),
        Thing("butter", parts=Decimal("0.5")),
        Thing("milk powder", parts=Decimal(2)),
    )


@pytest.mark.parametrize(
    ("text", "which", "reason"),
    [
        ("1, 5 kg nibs", 1, "comma inside a number has no space"),
        ("500 g sugar; 500", 2, "stands alone"),
        ("500 g sugar; 500 nibs", 2, "not a unit"),
        ("nibs; 500 g sugar", 1, "no amount"),
        ("1 kg nibs, 500 g", 2, "no name"),
        ("1 kg nibs,500 g sugar", 1, "two amounts"),
        ("500 g sugar 200 g", 1, "two amounts"),
        ("2 cups sugar", 1, "Weigh it once"),
        ("1 kg nibs; a pinch of salt", 2, "Weigh it once"),
        ("sugar 2 tbsp", 1, "Weigh it once"),
        ("-5 g nibs", 1, "dash"),
        ("nibs - 500 g", 1, "dash"),
        ("nibs −500 g", 1, "dash"),
        ("Dark70 500 g", 1, "run together"),
        ("500g-nibs", 1, "run together"),
        ("500 g 70% chocolate", 1, "begins with a letter"),
        ("nibs ,5 kg", 1, "name or to the amount"),
        ("Dark 70 500 g", 1, "name or to the amount"),
        ("Dark 70 1/2 oz", 1, "name or to the amount"),
        ("nibs 1 ½ lb", 1, "name or to the amount"),
        ("500 g sugar,nibs", 1, "comma stands in the name"),
        ("1 kg g", 1, "is a unit"),
        ("0 parts nibs", 1, "Leave it out"),
        ("1e3 g nibs", 1, "Powers of ten"),
        ("52 % nibs", 1, "percent"),
        ("2 oz 1 lb nibs", 1, "cannot follow"),
        ("1 kg nibs; " + "x" * 200 + " 5 g", 2, "too long"),
        ("1 kg ni\x07bs", 1, "cannot be shown"),
    ],
)
def test_a_refusal_says_which_thing_and_why(text: str, which: int, reason: str) -> None:
    with pytest.raises(InputError, match=reason) as refused:
        parse_things(text)
    assert refused.value.what.startswith(f"Thing {which}: ")
    assert refused.value.field == f"things[{which}]"
    assert len(str(refused.value).splitlines()) == 1


def test_two_readings_of_an_amount_stay_with_the_thing() -> None:
    with pytest.raises(AmbiguousQuantity, match="Thing 2") as refused:
        parse_things("500 g sugar; 1,500 g nibs")
    assert [reading.typed for reading in refused.value.readings] == ["1.5 g", "1500 g"]
    assert parse_things("500 g sugar; 1,500 g nibs", ",")[1].mass_g == Decimal("1.5")


@pytest.mark.parametrize("text", ["", "  ", ";;", ",\n,"])
def test_an_empty_list_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="Nothing was typed"):
        parse_things(text)


def test_lists_have_a_limit() -> None:
    with pytest.raises(InputError, match="too many"):
        parse_things("1 g x;" * 101)
    with pytest.raises(InputError, match="too long"):
        parse_things("1 g nibs;" * 1000)


def test_a_thing_has_a_mass_or_parts_and_not_both() -> None:
    with pytest.raises(InputError):
        Thing("nibs")
    with pytest.raises(InputError):
        Thing("nibs", mass_g=Decimal(1), parts=Decimal(1))


NAMES = st.sampled_from(
    ["nibs", "cane sugar", "freeze-dried raspberries", "oat flour", "sel de mer", "crème"]
)
AMOUNTS = st.decimals(min_value=0, max_value=100000, places=1, allow_nan=False)


@given(
    things=st.lists(st.tuples(AMOUNTS, NAMES, st.booleans()), min_size=1, max_size=8),
    cut=st.sampled_from(["; ", ";", "\n", ", "]),
)
def test_a_written_list_is_read_back(things: list[tuple[Decimal, str, bool]], cut: str) -> None:
    written = [
        f"{format_mass(grams)} {name}" if first else f"{name} {format_mass(grams)}"
        for grams, name, first in things
    ]
    assert masses(cut.join(written)) == [(name, grams) for grams, name, _ in things]
