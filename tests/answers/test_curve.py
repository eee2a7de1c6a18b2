"""What a cooling curve says: figure always, verdict after three curves of one's own."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

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
