"""Texts of answers follow the decimal sign and the units of the workshop, and sources stay as they are."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from nibsmith.answers.ask import ask_all
from nibsmith.answers.context import Context
from nibsmith.answers.sheet import batch_sheet
from nibsmith.science.legal import jurisdictions
from nibsmith.science.mixture import Form, Recipe, part
from nibsmith.shop.common.said import said, said_in, unbroken, unbroken_in, with_ounces
from nibsmith.shop.common.workshop.selectors import WorkshopSettings

COMMA = WorkshopSettings(decimal_sign=",")
FAHRENHEIT = WorkshopSettings(temperature_unit="F")
OUNCES = WorkshopSettings(mass_unit="oz")
N = "\u00a0"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Fat is 36.9 % (36.0 to 37.7) of the mass.", "Fat is 36,9 % (36,0 to 37,7) of the mass."),
        ("1\u202f234.5 g. Then 2.", "1\u202f234,5 g. Then 2."),
        ("Work it at 31.5.", "Work it at 31,5."),
        # Sections of a law are no figures.
        ("21 CFR 163.123(a)(3), section 2.1.3", "21 CFR 163.123(a)(3), section 2.1.3"),
    ],
)
def test_a_decimal_point_becomes_the_chosen_sign(text: str, told: str) -> None:
    assert said(text, COMMA) == told
    assert said(text, WorkshopSettings(decimal_sign=".")) == text
    assert said(text, WorkshopSettings()) == text


@pytest.mark.parametrize("unit", ["%", "°C", "°F", "1/s", "K", "g", "kg", "min", "h", "µm", "mm", "s"])
def test_no_line_ends_between_a_number_and_its_unit(unit: str) -> None:
    assert unbroken(f"From 45 {unit}, then.") == f"From 45{N}{unit}, then."


@pytest.mark.parametrize("text", ["In 20 minutes.", "Codex 87 says.", "2 hazelnuts", "batch 3 Kiln", "a °C"])
def test_other_words_after_a_number_are_let_be(text: str) -> None:
    assert unbroken(text) == text


def test_the_chosen_scale_of_temperature_stands_first() -> None:
    text = f"Work it at 31–32{N}°C (87.8–89.6{N}°F), from a freezer at −18{N}°C (−0.4{N}°F)."
    told = f"Work it at 87.8–89.6{N}°F (31–32{N}°C), from a freezer at −0.4{N}°F (−18{N}°C)."
    assert said(text, FAHRENHEIT) == told
    assert said(text, replace(FAHRENHEIT, decimal_sign=",")) == told.replace(".8", ",8").replace(
        ".6", ",6"
    ).replace(".4", ",4")


def test_a_range_below_nothing_changes_its_scale_whole() -> None:
    text = f"Four in five lie within −18 to −5{N}°C (−0.4 to 23{N}°F), or −1 to 4{N}°C (30.2–39.2{N}°F)."
    told = f"Four in five lie within −0.4 to 23{N}°F (−18 to −5{N}°C), or 30.2–39.2{N}°F (−1 to 4{N}°C)."
    assert said(text, FAHRENHEIT) == told


def test_ounces_stand_beside_grams_where_the_workshop_counts_in_them() -> None:
    # By hand: 38 g are 38 / 28.349523125 = 1.34 oz (NIST Handbook 44).
    assert with_ounces(f"Add 38{N}g of cocoa butter", OUNCES) == f"Add 38{N}g (1.34{N}oz) of cocoa butter"
    assert with_ounces(f"Add 38{N}g of cocoa butter", COMMA) == f"Add 38{N}g of cocoa butter"


@pytest.fixture
def milk() -> Recipe:
    masses = {"cocoa_nibs_roasted": 300.0, "cocoa_butter": 180.0, "milk_powder_whole": 220.0}
    nuts = part("hazelnut_dry_roasted", 120.0)
    parts = (*(part(key, grams) for key, grams in masses.items()), part("sugar_granulated", 300.0), nuts)
    return Recipe("Milk 42", Form.BAR, parts)


def test_no_figure_of_an_answer_keeps_its_point_and_its_sources_stay(milk: Recipe) -> None:
    context = Context(markets=tuple(jurisdictions()), scale_g=Decimal("0.1"))
    for answer in ask_all(milk, context):
        told = said_in(answer, COMMA)
        texts = (told.word, told.sentence, *told.reasons, *told.cautions)
        cells = [cell for detail in told.details for row in detail.rows for cell in row]
        assert not [text for text in (*texts, *cells) if said(text, COMMA) != text]
        assert (told.sources, told.remedies, told.figure) == (answer.sources, answer.remedies, answer.figure)


def test_no_figure_of_a_sheet_keeps_its_point(milk: Recipe) -> None:
    told = said_in(batch_sheet(milk, Context(scale_g=Decimal("0.1"))), COMMA)
    assert "." not in "".join(row.metric + row.share for row in told.weigh.rows)
    assert not [value for _, value in told.temper.rows if "." in value]
    in_fahrenheit = said_in(batch_sheet(milk, Context()), FAHRENHEIT)
    assert in_fahrenheit.temper.rows[0][1] == f"113{N}°F (45{N}°C)"
    assert told.weigh.total_g == Decimal("1000.0")


def test_no_line_of_a_sheet_or_an_answer_ends_before_a_unit() -> None:
    """A printed line ended with "at 34" and the next one began with °C."""
    parts = (part("cocoa_mass", 700.0), part("sugar_granulated", 300.0), part("hazelnut_paste", 80.0))
    bar = Recipe("Bar", Form.BAR, parts)
    sheet = batch_sheet(bar, Context())
    assert any(" K for" in note for note in sheet.temper.notes)
    told = unbroken_in((sheet, ask_all(bar, Context())))

    assert unbroken_in(told) == told
    assert any(f"{N}K for" in note for note in told[0].temper.notes)
    assert not any(" K for" in note for note in told[0].temper.notes)
