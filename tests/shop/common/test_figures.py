"""Figures of a page: one rounding, and a true minus sign whoever writes them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from nibsmith.answers.answer import Answer, Verdict
from nibsmith.answers.wording import minutes
from nibsmith.shop.common.figures import as_given, money, rounded
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.recipes.shown_answers import figure_text, show_answers

SETTINGS = WorkshopSettings()


def test_a_figure_below_nothing_has_a_true_minus_sign() -> None:
    assert rounded(-5.04, Decimal("0.1")) == "−5.0"
    assert rounded(Decimal("-0.04"), Decimal("0.1")) == "0.0"
    assert as_given(Decimal("-1234.50"), ",") == "−1\u202f234,5"
    assert money(Decimal("-3.5"), "EUR") == "−3.50\u00a0EUR"


@pytest.mark.parametrize("time_min", [9.46, 58.5, 59.46, 59.5, 99.7, 1015.2])
def test_a_time_is_one_number_in_the_headline_and_in_the_sentence(time_min: float) -> None:
    assert figure_text(time_min, "min", SETTINGS) == minutes(time_min)
    assert minutes(time_min).replace("\u202f", "").isdigit()


def test_a_temperature_has_a_tenth_however_small_it_is() -> None:
    assert [figure_text(celsius, "°C", SETTINGS) for celsius in (4.26, 31.54)] == ["4.3", "31.5"]


def test_a_temperature_stands_large_on_the_first_scale_of_the_workshop() -> None:
    answer = Answer("q", "t", Verdict.GOOD, "w", "s", figure=35.7, low=35.2, high=None, unit="°C")
    (warm,) = show_answers((answer,), WorkshopSettings(temperature_unit="F")).all
    (usual,) = show_answers((answer,), SETTINGS).all

    assert (warm.figure, warm.unit) == ("96.3", "°F")  # 35.7 · 1.8 + 32 = 96.26
    assert (usual.figure, usual.unit) == ("35.7", "°C")
