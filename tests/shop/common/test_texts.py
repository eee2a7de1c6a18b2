"""Names, notes and figures are put in order or refused before they are stored."""

from __future__ import annotations

import contextlib
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.shop.common import amounts, figures, texts


@given(st.text(max_size=200))
def test_a_name_is_one_line_that_is_kept_as_it_is_the_second_time(text: str) -> None:
    try:
        kept = texts.name(text)
    except InputError:
        return
    assert kept == texts.name(kept)
    assert kept.splitlines() == [kept]
    assert 0 < len(kept) <= 120
    kept.encode("utf-8")


@pytest.mark.parametrize(
    "text", ["Fläche ½ · 80 %", "नाम", "🍫", "naïve", "می\u200cخواهم", "क्\u200dष", "👩\u200d🍳"]
)
def test_letters_of_every_script_are_taken(text: str) -> None:
    assert texts.name(text) == text


@pytest.mark.parametrize(
    "text",
    [
        "\x00",
        "a\x07",
        "\ud83c",
        "\ue000",
        "\x1b[31m",
        "\u200e\x08",
        "\u202eknurd",
        "a\u200bb",
        "\u200d",
        "\ufeff",
    ],
)
def test_signs_that_cannot_be_shown_are_refused(text: str) -> None:
    for check in (texts.name, texts.note):
        with pytest.raises(InputError, match="cannot be shown"):
            check(f"before {text} after")


def test_a_sign_that_broken_bytes_left_is_refused() -> None:
    for check in (texts.name, texts.note):
        with pytest.raises(InputError, match="broken on its way"):
            check(b"\xed\xa0\x80bad".decode(errors="replace"))


def test_a_note_keeps_its_lines_and_its_spaces() -> None:
    assert texts.note(" first\r\nsecond\rthird\u2028 5\u00a0g\u2003fourth \n") == (
        "first\nsecond\nthird\n 5\u00a0g\u2003fourth"
    )


@given(st.decimals(min_value=0, max_value=100, places=3))
def test_a_figure_within_its_bounds_is_returned_as_it_is(value: Decimal) -> None:
    assert amounts.bounded(value, "fat_g") is value


@given(st.decimals(allow_nan=True, allow_infinity=True))
def test_only_figures_within_bounds_and_three_decimals_pass(value: Decimal) -> None:
    fits = value.is_finite() and 0 <= value <= 100 and value == round(value, 3)

    with contextlib.nullcontext() if fits else pytest.raises(InputError):
        assert amounts.bounded(value, "fat_g") is value


def test_nothing_stays_nothing_and_is_no_zero() -> None:
    assert amounts.bounded(None, "fat_g") is None
    with pytest.raises(InputError, match="more than nothing"):
        amounts.more_than_nothing(Decimal("0.000"), "scale_g", high=1)


@pytest.mark.parametrize(
    ("value", "sign", "text"),
    [
        (1297.0, None, "1\u202f297"),
        (1.34, ",", "1,34"),
        (100.0, None, "100"),
        (1234567.5, ",", "1\u202f234\u202f567,5"),
    ],
)
def test_a_figure_is_written_with_the_digits_given(
    value: float, sign: figures.DecimalSign | None, text: str
) -> None:
    assert figures.as_given(value, sign) == text.replace("_", "\u202f")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("11.4000", "11.40"),
        ("12", "12.00"),
        ("0.125", "0.125"),
        ("1500", "1\u202f500.00"),
        ("1E+3", "1\u202f000.00"),
    ],
)
def test_money_has_two_decimals_and_more_only_where_they_were_given(value: str, text: str) -> None:
    assert figures.money(Decimal(value), "EUR") == text.replace("_", "\u202f") + "\xa0EUR"
