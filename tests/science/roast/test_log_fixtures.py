"""Logs of invented roasts, each with the exact report that it must give."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from nibsmith.answers.roast_log import report_text, roast_log
from nibsmith.science.errors import NibsmithError
from nibsmith.science.roast import Curve, Doubt, Role
from nibsmith.science.roast.log import TimeUnit, Told, read_log

FOLDER = Path(__file__).parents[2] / "fixtures" / "roast_logs"
LOGS = sorted(FOLDER.glob("*.log"))


def log(number: int) -> bytes:
    return next(path for path in LOGS if path.name.startswith(f"{number:02d}-")).read_bytes()


def in_beans(times: np.ndarray, top: float = 127.0, tau: float = 620.0) -> np.ndarray:
    """The course from which the files were made."""
    return 22 + (top - 22) * (1 - np.exp(-times / tau))


def curve(number: int, name: str = "", told: Told | None = None) -> Curve:
    probes = read_log(log(number), told).roast.probes
    return next(probe.readings for probe in probes if not name or probe.name == name)


def test_there_are_more_than_25_logs_and_a_report_for_each() -> None:
    assert len(LOGS) > 25
    assert {path.stem for path in LOGS} == {
        path.name.removesuffix(".expected.txt") for path in FOLDER.glob("*.expected.txt")
    }


@pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)
def test_the_report_says_exactly_what_was_understood(path: Path) -> None:
    try:
        said = report_text(roast_log(path.read_bytes()))
    except NibsmithError as error:
        said = f"Refused: {error}\n"

    assert said == path.with_suffix(".expected.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("number", [1, 2, 3, 5, 6, 7, 8, 9, 10, 12, 13, 15, 16, 18, 21, 30])
def test_the_course_behind_a_log_is_read_to_its_last_digit(number: int) -> None:
    """One decimal in °C or °F: half a digit off at most."""
    found = curve(number)

    assert np.abs(found.celsius - in_beans(found.times_s)).max() <= 0.05 + 1e-9


def test_whole_degrees_fahrenheit_are_read_to_half_a_degree() -> None:
    found = curve(11)

    assert np.abs(found.celsius - in_beans(found.times_s)).max() <= 0.5 / 1.8 + 1e-9


def test_spikes_and_broken_probes_are_left_out_and_noise_stays() -> None:
    """The file was made with noise of 0.4 K in the beans, three spikes at 6:40, 15:00 and 15:02."""
    logged = read_log(log(19))
    beans = logged.roast.probes[0].readings

    assert logged.understood.probes[0].spikes == (400.0, 900.0, 902.0)
    assert not {400.0, 900.0, 902.0} & set(beans.times_s.tolist())
    assert np.std(beans.celsius - in_beans(beans.times_s)) == pytest.approx(0.4, rel=0.1)


def test_the_gap_is_no_line_and_both_its_ends_are_readings() -> None:
    found = curve(16)

    assert np.isfinite(found.at(np.array([600.0, 810.0]))).all()
    assert np.isnan(found.at(np.array([601.0, 700.0, 809.0]))).all()


def test_notes_keep_their_times_and_words() -> None:
    notes = read_log(log(21)).roast.notes

    assert [(note.time_s, note.words) for note in notes] == [
        (0.0, "beans in"),
        (480.0, "smell of vinegar"),
        (900.0, "first crackle, soft"),
        (1500.0, "out, fan on"),
    ]


def test_a_scale_that_is_told_settles_the_question() -> None:
    asked = read_log(log(22)).roast
    told = read_log(log(22), Told(scale="F")).roast

    assert [question.doubt for question in asked.questions] == [Doubt.HOT, Doubt.HOT]
    assert told.questions == ()
    assert told.probes[0].readings.hottest[1] == pytest.approx(
        in_beans(np.array([1800.0]), top=138)[0], abs=0.3
    )


def test_degrees_celsius_that_are_told_stay_as_they_are_however_hot() -> None:
    told = read_log(log(22), Told(scale="C")).roast

    assert told.questions == ()
    assert told.probes[0].readings.hottest[1] == 269.0


def test_celsius_taken_for_fahrenheit_is_questioned_and_settled() -> None:
    assert {question.doubt for question in read_log(log(32)).roast.questions} == {Doubt.COOL}
    assert (
        np.abs(curve(32, told=Told(scale="C")).celsius - in_beans(np.arange(0.0, 1801.0, 30.0))).max() < 0.051
    )


def test_the_run_that_is_told_is_read() -> None:
    first, second = (read_log(log(25), Told(run=run)) for run in (1, 2))

    assert (first.understood.rows, second.understood.rows) == (151, 181)
    found = second.roast.probes[0].readings
    assert np.abs(found.celsius - in_beans(found.times_s, tau=500)).max() <= 0.05 + 1e-9


def test_the_time_between_rows_makes_up_for_a_missing_column() -> None:
    found = curve(27, told=Told(every_s=10.0))

    assert np.abs(found.celsius - in_beans(found.times_s)).max() <= 0.05 + 1e-9


def test_the_unit_that_is_told_decides_what_times_count() -> None:
    assert curve(31, told=Told(time_unit=TimeUnit.MINUTES)).times_s.tolist() == [0.0, 60.0, 120.0]
    assert curve(31, told=Told(time_unit=TimeUnit.HOURS)).times_s.tolist() == [0.0, 3600.0, 7200.0]
    assert curve(31, told=Told(time_unit=TimeUnit.MILLISECONDS)).times_s.tolist() == [0.0, 0.001, 0.002]


def test_probes_are_where_the_maker_says_by_name_or_by_number() -> None:
    by_name = read_log(log(20), Told(beans=("Probe 4",), air=("bean left",))).roast
    by_number = read_log(log(20), Told(beans=("6",), air=("3",))).roast

    for roast in (by_name, by_number):
        assert [probe.name for probe in roast.of(Role.BEAN)] == ["bean right", "probe 4"]
        assert [probe.name for probe in roast.of(Role.AIR)] == ["bean left", "air"]


def test_a_column_of_times_can_be_named() -> None:
    found = read_log(log(20), Told(time="1", time_unit=TimeUnit.SECONDS)).roast

    assert found.probes[0].readings.times_s.tolist()[:3] == [1.0, 2.0, 3.0]
