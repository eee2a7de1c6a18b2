"""Rows of numbers are read as they are typed, or the line that cannot be is named."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.answers.tools.rows import MOST_ROWS, rows_of
from nibsmith.science.errors import InputError

NAMES = ("time", "temperature")


@pytest.mark.parametrize(
    "text",
    [
        "0.5 31.2\n1 29.8",
        "0,5 31,2\n1 29,8",
        "0,5;31,2\n1;29,8",
        "0.5\t31.2\n1\t29.8",
        "0.5, 31.2\n1, 29.8",
        "0.5,31.2\n1,29.8",
        "0:30 31.2 °C\n1:00 29.8 °C",
        "0.5 min 31.2 °C\r\n1 min 29.8 °C\r\n",
        "time;temperature\n0:30;31,2\n1:00;29,8",
        "0.5 31.2 / 1 29.8",
    ],
)
def test_every_way_of_writing_two_rows_means_the_same(text: str) -> None:
    assert rows_of(text, NAMES).rows == ((0.5, 31.2), (1.0, 29.8))


def test_a_clock_with_hours_counts_them() -> None:
    assert rows_of("1:03:30 20", NAMES).rows == ((63.5, 20.0),)


def test_a_true_minus_is_a_minus() -> None:
    assert rows_of("1 −18 °C", NAMES).rows == ((1.0, -18.0),)


def test_lines_without_numbers_are_left_out_and_counted() -> None:
    found = rows_of("cup in the bath\n\n1 30\nend", NAMES)
    assert found.rows == ((1.0, 30.0),)
    assert found.left_out == 2


def test_optional_columns_may_be_missing() -> None:
    assert rows_of("9 95 3\n24 45", ("hours", "size", "count"), optional=1).rows == ((9, 95, 3), (24, 45))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "There is no row of numbers"),
        ("nothing here", "There is no row of numbers"),
        ("1 30\n2", "Line 2 does not hold 2 numbers"),
        ("1 30\n2 3 4", "Line 2 does not hold 2 numbers"),
        ("1; 30\n2; warm", "Line 2: the temperature cannot be read"),
        ("1 30\n" * (MOST_ROWS + 1), "too many rows"),
        ("x" * 2_000_001, "too long"),
    ],
)
def test_a_refusal_names_the_line(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        rows_of(text, NAMES)


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = rows_of(text, NAMES)
    except InputError:
        return
    assert all(len(row) == 2 for row in found.rows)
