"""What a logger wrote is what is read, in whatever way it wrote it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from logger import WAYS, Logger
from nibsmith.science.roast import Role
from nibsmith.science.roast.log import read_log

# A comma between cells allows no comma in numbers, but inside quotes.
SIGNS = [
    (",", ".", False),
    (",", ",", True),
    (";", ",", False),
    (";", ".", False),
    ("\t", ",", True),
    ("|", ".", True),
]
ABOVE = [(), ("Recorder of the yard", "Interval: 10 s", "")]


@st.composite
def loggers(draw: st.DrawFn) -> Logger:
    separator, decimal, quotes = draw(st.sampled_from(SIGNS))
    return Logger(
        way=draw(st.sampled_from(sorted(WAYS))),
        separator=separator,
        decimal=decimal,
        encoding=draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])),
        end=draw(st.sampled_from(["\n", "\r\n", "\r"])),
        quotes=quotes,
        fahrenheit=draw(st.booleans()),
        above=draw(st.sampled_from(ABOVE)),
    )


@st.composite
def roasts(draw: st.DrawFn) -> tuple[list[int], list[list[float]], int]:
    """Rising times over 5 to 90 minutes, and a course of readings with no lone spike."""
    count, digits = draw(st.integers(6, 60)), draw(st.integers(0, 3))
    step = draw(st.integers(max(1, 300 // (count - 1) + 1), 5400 // (count - 1)))
    times = [place * step for place in range(count)]
    probes = draw(st.integers(1, 3))
    tops = draw(st.lists(st.floats(90, 140), min_size=probes, max_size=probes))
    return (
        times,
        [[round(20 + (top - 20) * place / count, digits) for place in range(count)] for top in tops],
        digits,
    )


@given(loggers(), roasts())
def test_times_and_readings_come_back_exactly(
    logger: Logger, roast: tuple[list[int], list[list[float]], int]
) -> None:
    times, columns, digits = roast
    shown = (
        [[round(c * 9 / 5 + 32, digits) for c in column] for column in columns]
        if logger.fahrenheit
        else columns
    )

    found = read_log(logger.write(times, shown, digits)).roast

    assert [probe.role for probe in found.probes] == [Role.BEAN] * len(columns)
    for probe, column in zip(found.probes, shown, strict=True):
        expected = np.array(column) if not logger.fahrenheit else (np.array(column) - 32) / 1.8
        assert probe.readings.times_s.tolist() == pytest.approx(times, abs=1e-6)
        assert np.array_equal(probe.readings.celsius, expected)


@given(st.lists(st.decimals(-40, 500, allow_nan=False, places=4).map(str), min_size=2, max_size=40))
def test_a_number_is_the_double_that_python_reads(cells: list[str]) -> None:
    """Digit by digit in whole columns, or one by one: the same number to the last bit."""
    from nibsmith.science.roast.log.cells import cut
    from nibsmith.science.roast.log.columns import Kind, RawColumn

    text = "\n".join(f"{number};{cell}" for number, cell in enumerate(cells))

    column = RawColumn(cut(text.encode()), 1)

    assert column.values[Kind.NUMBER].tolist() == [float(cell) for cell in cells]


@pytest.mark.parametrize("cell", ["1e2", "1.25E+02", "+12.5", "12.", ".5", "0000012.5", "12.345678901234567"])
def test_numbers_in_other_spellings_are_read_too(cell: str) -> None:
    found = read_log(f"time (min);beans (°C)\n0;20\n10;{cell}\n20;100\n".encode())

    assert found.roast.probes[0].readings.celsius[1] == float(cell)


@pytest.mark.parametrize("cell", ["", "-", "--", "---", "NaN", "N/A", "null", "Err", "OPEN", "#N/A", "inf"])
def test_words_for_no_reading_are_counted_as_missing(cell: str) -> None:
    found = read_log(f"time (min);beans (°C)\n0;20\n10;{cell}\n20;100\n30;110\n".encode())

    assert found.understood.probes[0].missing == 1
    assert found.roast.probes[0].readings.celsius.tolist() == [20.0, 100.0, 110.0]
