"""Temper programs against the rows of the two tables they were read in.

First: Chocolate Academy, guide to tempering methods. Second: tempering temperature guide of a cookery
library (ckbk). Both print ranges in °C; the value in between is their middle.
"""

from __future__ import annotations

import pytest

from nibsmith.science.temper import Chocolate, Program, ProgramTable, program

# kind: melt, cool, work, warmest
FIRST = {
    "dark": ((45, 50), (27, 27), (31, 32), 34.5),
    "milk": ((45, 45), (27, 27), (29, 30), 32.5),
    "white": ((45, 45), (27, 27), (28, 29), 31.5),
}
SECOND = {
    "dark": ((50, 55), (28, 29), (31, 32), None),
    "milk": ((45, 50), (27, 28), (30, 31), None),
    "white": ((45, 50), (26, 27), (29, 30), None),
}


def ends(found: Program) -> tuple[object, ...]:
    spans = (found.melt_celsius, found.cool_celsius, found.work_celsius)
    return (*((span.low, span.high) for span in spans), found.most_celsius)


@pytest.mark.parametrize("kind", FIRST)
def test_the_first_table_is_as_printed(kind: str) -> None:
    assert ends(program(Chocolate(kind))) == FIRST[kind]


@pytest.mark.parametrize("kind", SECOND)
def test_the_second_table_is_as_printed(kind: str) -> None:
    assert ends(program(Chocolate(kind), ProgramTable.SECOND)) == SECOND[kind]


@pytest.mark.parametrize("table", ProgramTable)
@pytest.mark.parametrize("kind", Chocolate)
def test_the_value_is_the_middle_of_what_is_printed(kind: Chocolate, table: ProgramTable) -> None:
    found = program(kind, table)

    for span in (found.melt_celsius, found.cool_celsius, found.work_celsius):
        assert span.value == (span.low + span.high) / 2


def test_milk_is_worked_one_to_two_and_white_two_to_three_kelvin_under_dark_in_both_tables() -> None:
    for table in ProgramTable:
        dark, milk, white = (program(kind, table).work_celsius.value for kind in Chocolate)

        assert 1 <= dark - milk <= 2
        assert 2 <= dark - white <= 3
