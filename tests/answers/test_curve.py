"""What a cooling curve says: figure always, verdict after three curves of one's own."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from command_line import ROOT
from nibsmith.answers.answer import Verdict
from nibsmith.answers.curve import CurveAsked, curve, curve_picture
from nibsmith.science.temper import Cup, Fat, MarkedCurve, Temper, cup_curve

CUP = Cup(8.0, 31.5, 5.0, 1600.0)
SECONDS = tuple(float(second) for second in range(0, 1200, 2))


@cache
def celsius(seed: float) -> tuple[float, ...]:
    found = cup_curve(seed, Fat(0.32), CUP, 20.0).celsius[: len(SECONDS) * 2 : 2]
    return tuple(found.tolist())


def asked(seed: float, *marks: tuple[float, Temper]) -> CurveAsked:
    marked = tuple(MarkedCurve(slope, 8.0, 31.5, mark) for slope, mark in marks)
    return CurveAsked(SECONDS, celsius(seed), 8.0, marked)


MARKS = ((0.35, Temper.WELL), (0.70, Temper.UNDER), (-0.15, Temper.OVER))


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_curves_of_ones_own_give_the_figure_and_no_verdict(count: int) -> None:
    answer = curve(asked(0.02, *MARKS[:count]))

    assert answer.figure == pytest.approx(0.37, abs=0.02)
    assert answer.verdict is Verdict.UNKNOWN
    assert "Three of your own curves" in answer.sentence


@pytest.mark.parametrize(
    ("seed", "word", "verdict"),
    [
        (0.02, "Well tempered.", Verdict.GOOD),
        (0.002, "Under-tempered.", Verdict.WATCH),
        (0.08, "Over-tempered.", Verdict.WATCH),
    ],
)
def test_three_marked_curves_make_a_verdict(seed: float, word: str, verdict: Verdict) -> None:
    answer = curve(asked(seed, *MARKS))

    assert (answer.word, answer.verdict) == (word, verdict)
    assert "3 marked curves" in " ".join(answer.reasons)


def test_marked_curves_of_another_coolant_do_not_count() -> None:
    other = tuple(MarkedCurve(slope, 14.0, 31.5, mark) for slope, mark in MARKS)

    answer = curve(CurveAsked(SECONDS, celsius(0.02), 8.0, other))

    assert answer.verdict is Verdict.UNKNOWN
    assert "0 of your 3 marked curves" in " ".join(answer.reasons)


def test_a_slope_near_its_limit_is_no_clear_good() -> None:
    noisy = np.array(celsius(0.02)) + np.random.default_rng(3).normal(0, 0.05, len(SECONDS))
    close = tuple(
        MarkedCurve(slope, 8.0, 31.5, mark)
        for slope, mark in ((0.38, Temper.WELL), (0.52, Temper.UNDER), (0.30, Temper.OVER))
    )

    answer = curve(CurveAsked(SECONDS, noisy.tolist(), 8.0, close))

    assert answer.high - answer.low > 0.1  # type: ignore[operator]
    assert answer.verdict is not Verdict.GOOD


def test_a_curve_without_arrest_is_untempered_whatever_is_marked() -> None:
    assert curve(asked(0.0)).verdict is Verdict.STOP
    assert curve(asked(0.0, *MARKS)).word == "Untempered."


@pytest.mark.parametrize(
    ("seconds", "readings"),
    [
        (SECONDS[:3], celsius(0.02)[:3]),
        (SECONDS[::-1], celsius(0.02)),
        (SECONDS, tuple(9 * t / 5 + 32 for t in celsius(0.02))),
        ((), ()),
    ],
)
def test_a_record_that_cannot_be_read_is_unknown_with_the_reason(
    seconds: tuple[float, ...], readings: tuple[float, ...]
) -> None:
    answer = curve(CurveAsked(seconds, readings, 8.0))

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.figure is None
    assert answer.sentence.endswith(".")


def test_the_picture_carries_the_reading_and_its_tangent() -> None:
    picture = curve_picture(asked(0.02))

    assert picture.inflection is not None
    assert picture.tangent is not None
    (x0, y0), (x1, y1) = picture.tangent
    assert (y1 - y0) / (x1 - x0) == pytest.approx(curve(asked(0.02)).figure)
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx(picture.inflection)
    assert curve_picture(asked(0.0)).tangent is None


CUP_FILE = ROOT / "examples" / "weir-lane-cup.csv"


def cut(minutes: float) -> CurveAsked:
    """The example's record, ended early."""
    lines = CUP_FILE.read_text(encoding="utf-8").splitlines()[1:]
    rows = [(30.0 * place, float(line.split(";")[1])) for place, line in enumerate(lines)]
    kept = [row for row in rows if row[0] <= 60 * minutes]
    return CurveAsked([seconds for seconds, _ in kept], [celsius for _, celsius in kept], 8.0)


@pytest.mark.parametrize("minutes", np.arange(3.5, 7.5, 0.5))
def test_a_record_that_ends_before_its_bend_is_unknown_and_no_order_to_melt_again(minutes: float) -> None:
    answer = curve(cut(minutes))

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.word == "It ends too soon."
    assert "begin again" not in answer.sentence
    assert (minutes >= 5) == ("it holds seed" in " ".join(answer.reasons))


def test_the_whole_record_is_read() -> None:
    assert curve(cut(15.0)).figure == pytest.approx(0.16, abs=0.02)


def test_a_cup_too_fast_for_the_limit_is_unknown() -> None:
    fast = cup_curve(0.02, Fat(0.32), replace(CUP, constant_minutes=2.0), 20.0)

    answer = curve(CurveAsked((60 * fast.minutes).tolist(), fast.celsius.tolist(), 8.0))

    assert (answer.verdict, answer.word) == (Verdict.UNKNOWN, "Too fast a cup.")


@pytest.mark.parametrize("coolant", [20.0, 31.0])
def test_a_coolant_warmer_than_the_record_is_not_believed(coolant: float) -> None:
    answer = curve(replace(cut(15.0), coolant_celsius=coolant))

    assert answer.verdict is Verdict.UNKNOWN
    assert answer.figure is None
    assert "colder than its cold body" in answer.sentence


@pytest.mark.parametrize("mark", [Temper.WELL, Temper.OVER])
def test_bars_marked_well_stand_against_a_curve_that_holds_nothing(mark: Temper) -> None:
    answer = curve(replace(asked(0.0), mark=mark))

    assert (answer.verdict, answer.word) == (Verdict.WATCH, "Curve and bars disagree.")
    assert "begin again" not in answer.sentence


def test_bars_marked_under_agree_with_a_curve_that_holds_nothing() -> None:
    answer = curve(replace(asked(0.0), mark=Temper.UNDER))

    assert answer.verdict is Verdict.STOP
    assert "You marked this curve under-tempered" in " ".join(answer.reasons)


@pytest.mark.parametrize(("mark", "words"), [(Temper.WELL, "say the same"), (Temper.OVER, "The bars decide")])
def test_ones_own_mark_is_set_beside_what_the_other_curves_say(mark: Temper, words: str) -> None:
    answer = curve(replace(asked(0.02, *MARKS), mark=mark))

    assert answer.word == "Well tempered."
    assert words in " ".join(answer.reasons)


def test_three_good_curves_say_that_none_marks_where_good_ends() -> None:
    answer = curve(asked(0.02, *((slope, Temper.WELL) for slope in (0.1, 0.2, 0.3))))

    assert answer.verdict is Verdict.UNKNOWN
    assert "Three of your own curves" not in answer.sentence
    assert "steeper up than all your good curves, +0.10 to +0.30" in answer.sentence
    said = " ".join(answer.reasons)
    assert "good lies from +0.10 to +0.30" in said
    assert "none marks where it ends below and above" in said
    assert "unknown" not in said


def test_an_end_that_is_marked_is_told_beside_one_that_is_not() -> None:
    answer = curve(asked(0.02, (0.3, Temper.WELL), (0.4, Temper.WELL), (0.8, Temper.UNDER)))

    said = " ".join(answer.reasons)
    assert "good lies from +0.30 to +0.60" in said
    assert "none marks where it ends below." in said


def test_curves_that_contradict_each_other_are_said_to() -> None:
    answer = curve(asked(0.02, (0.5, Temper.WELL), (0.4, Temper.UNDER), (0.1, Temper.WELL)))

    assert answer.verdict is Verdict.UNKNOWN
    assert "contradict each other" in answer.sentence
    assert "Three of your own curves" not in answer.sentence
