"""Roasts typed by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.roast import Doubt, Role
from nibsmith.science.roast.typed import oven_roast, typed_points, typed_roast

TIMES = {
    "12:30": 750.0,
    "1:05:00": 3900.0,
    "12": 720.0,
    "7,5": 450.0,
    "12 min": 720.0,
    "12min": 720.0,
    "90 s": 90.0,
    "1 h 5 min": 3900.0,
    "2 min 30 s": 150.0,
    "75:00": 4500.0,
}


@pytest.mark.parametrize("text", TIMES)
def test_times_are_read_as_people_write_them(text: str) -> None:
    roast = typed_roast(f"0 20 °C; {text} 105; 80:00 121")

    assert roast.probes[0].readings.times_s[1] == TIMES[text]


@pytest.mark.parametrize("text", ["105 °C", "105C", "105", "221 °F", "= 105 °C"])
def test_temperatures_are_read_with_their_scale_or_that_of_the_field(text: str) -> None:
    others = ("68 °F", "250 °F") if "F" in text else ("20 °C", "121 °C")
    roast = typed_roast(f"0:00 {others[0]}\n10:00 {text}\n20:00 {others[1]}")

    assert roast.probes[0].readings.celsius[1] == pytest.approx(105.0)


@given(st.lists(st.tuples(st.integers(1, 600), st.integers(0, 150)), min_size=3, max_size=6))
def test_what_is_typed_is_what_is_kept(points: list[tuple[int, int]]) -> None:
    seconds, rows = 0, []
    for step, celsius in points:
        seconds += step
        rows.append((seconds, celsius))
    roast = typed_roast("; ".join(f"{s // 60}:{s % 60:02d} {c}" for s, c in rows), scale="C")

    readings = roast.probes[0].readings
    assert list(zip(readings.times_s, readings.celsius, strict=True)) == rows
    assert roast.by_hand


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "few points"),
        ("0:00 20 °C; 10:00 105", "few points"),
        (";".join(f"{minute} {minute} °C" for minute in range(61)), "few points"),
        ("0:00 20 °C; 10:00 105; 5:00 121", "do not rise"),
        ("0:00 20 °C; 10:00 105; 10:00 121", "do not rise"),
        ("0:00 20 °C; 10:00; 20:00 121", "no time with a temperature"),
        ("0:00 20 °C; -5:00 105; 20:00 121", "no time with a temperature"),
        ("0:00 20 °C; 10:75 105; 20:00 121", "no time"),
        ("0:00 20; 10:00 105; 20:00 121", "needs its scale"),
        ("0:00 20 °C; 10:00 221 °F; 20:00 121 °C", "Both °C and °F"),
        ("0:00 20 °C; 10:00 905; 20:00 121", "hotter than anything"),
        ("x" * 5000, "too long"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        typed_roast(text)


def test_280_degrees_celsius_are_questioned_and_280_fahrenheit_are_not() -> None:
    celsius = typed_roast("0:00 75 °C; 20:00 250; 30:00 280")
    fahrenheit = typed_roast("0:00 75 °F; 20:00 250; 30:00 280")

    assert [question.doubt for question in celsius.questions] == [Doubt.HOT]
    assert fahrenheit.questions == ()


def test_a_reading_colder_than_any_store_is_questioned_with_its_time() -> None:
    (question,) = typed_roast("0:00 24 °C; 10:00 105; 30:00 -50").questions

    assert (question.doubt, question.value, question.time_s) == (Doubt.COLD, -50.0, 1800.0)
    assert typed_roast("0:00 -18 °C; 10:00 105; 30:00 126").questions == ()
    assert [each.doubt for each in oven_roast(-50.0, 30.0).questions] == [Doubt.COLD]


def test_celsius_called_fahrenheit_is_questioned() -> None:
    """126 °F are 52.2 °C, by the definition of the scale: no roast."""
    (question,) = typed_roast("0:00 24 °F; 10:00 105; 30:00 126").questions

    assert (question.doubt, question.scale) == (Doubt.COOL, "F")
    assert question.value == pytest.approx(126.0)


@given(st.lists(st.integers(0, 3000), min_size=3, max_size=12, unique=True), st.data())
def test_points_added_one_by_one_make_the_roast_that_all_of_them_make(
    times: list[int], data: st.DataObject
) -> None:
    points = [(float(time), float(20 + place)) for place, time in enumerate(sorted(times))]
    at = data.draw(st.integers(1, len(points)))
    first, more = points[:at], data.draw(st.permutations(points[at:]))
    text = "; ".join(f"{int(time)} s {celsius:g} °C" for time, celsius in first)

    readings = typed_roast(text, more=more).probes[0].readings
    assert list(zip(readings.times_s, readings.celsius, strict=True)) == points
    assert typed_points(text) == tuple(first)


def test_two_readings_of_one_time_are_refused() -> None:
    with pytest.raises(InputError, match="of this time already"):
        typed_roast("0:00 24 °C; 10:00 105", more=[(600.0, 106.0)])


def test_one_temperature_all_the_time_is_questioned_in_beans_alone() -> None:
    text = "0:00 140 °C; 20:00 140; 30:00 140"

    assert [question.doubt for question in typed_roast(text).questions] == [Doubt.CONSTANT]
    assert typed_roast(text, role=Role.AIR).questions == ()


def test_a_dial_measures_nothing_and_too_hot_a_one_is_questioned() -> None:
    assert oven_roast(140.0, 35.0).probes[0].role is Role.SETTING
    assert [question.doubt for question in oven_roast(280.0, 35.0).questions] == [Doubt.HOT]


@pytest.mark.parametrize("minutes", [0.0, -5.0, 241.0])
def test_a_time_that_no_roast_lasts_is_refused(minutes: float) -> None:
    with pytest.raises(InputError, match="no time of a roast"):
        oven_roast(140.0, minutes)
