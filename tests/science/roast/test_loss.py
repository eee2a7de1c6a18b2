"""The loss, split by a balance of the dry mass."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import Cannot, Weighing, split_loss, weight_loss

SHARES = st.floats(0.0, 0.12)


@given(SHARES, SHARES, st.floats(0.0, 0.02))
def test_the_balance_closes_for_what_was_measured(before: float, after: float, volatiles: float) -> None:
    """Beans made of water and dry mass by hand: 1 kg, dry mass less its volatiles, then water again."""
    dry_g = 1000 * (1 - before) * (1 - volatiles)
    end_g = dry_g / (1 - after)
    if end_g > 1000:
        return
    loss = split_loss(Weighing(1000.0, end_g, Span.exactly(before), Span.exactly(after)))

    assert loss.total == pytest.approx(weight_loss(before, after, volatiles), abs=1e-12)
    assert 1000 * loss.water.value == pytest.approx(1000 * before - (end_g - dry_g), abs=1e-9)
    assert 1000 * loss.rest.value == pytest.approx(1000 * (1 - before) * volatiles, abs=1e-9)


@given(st.floats(0.0, 0.12))
def test_water_and_rest_make_the_loss_and_the_ranges_hold_their_values(lost: float) -> None:
    loss = split_loss(Weighing(1000.0, 1000 * (1 - lost)))

    assert loss.water.value + loss.rest.value == pytest.approx(loss.total, abs=1e-12)
    for span in (loss.water, loss.rest, loss.water_after):
        assert span.low <= span.value <= span.high
    assert loss.assumed == ("before", "after")
    assert loss.water_after.low >= 0


def test_more_lost_than_water_and_volatiles_is_doubtful() -> None:
    assert split_loss(Weighing(1000.0, 880.0)).doubtful
    assert not split_loss(Weighing(1000.0, 950.0)).doubtful


def test_dry_mass_that_grew_is_doubtful() -> None:
    grown = Weighing(1000.0, 990.0, Span.exactly(0.07), Span.exactly(0.02))

    assert split_loss(grown).rest.value < 0
    assert split_loss(grown).cannot == (Cannot.GREW,)


@given(st.floats(0.0, 0.5), st.none() | st.floats(0.0, 0.12))
def test_water_that_nobody_measured_after_lies_between_nothing_and_the_loss(
    lost: float, before: float | None
) -> None:
    told = None if before is None else Span.exactly(before)
    loss = split_loss(Weighing(1000.0, 1000 * (1 - lost), told))

    for span in (loss.water, loss.rest):
        assert -1e-12 <= span.low <= span.value <= span.high <= loss.total + 1e-12


@given(st.floats(0.0, 0.12), st.floats(0.0, 0.04))
def test_where_the_water_before_is_the_usual_one_no_water_comes_to_the_beans(
    lost: float, after: float
) -> None:
    loss = split_loss(Weighing(1000.0, 1000 * (1 - lost), None, Span.exactly(after)))

    assert loss.water.low >= -1e-12 or Cannot.GREW in loss.cannot


def test_half_a_percent_is_hardly_a_loss_and_no_water_below_nothing() -> None:
    loss = split_loss(Weighing(1000.0, 995.0))

    assert (loss.water.low, loss.water.high) == (0.0, pytest.approx(0.005))
    assert loss.cannot == (Cannot.HARDLY,)
    assert split_loss(Weighing(1000.0, 995.0, Span.exactly(0.025), Span.exactly(0.02))).cannot == ()


def test_beans_that_took_up_water_are_named() -> None:
    """By hand: 3 % of 1,000 g and 8 % of 990 g are 30 and 79.2 g of water."""
    loss = split_loss(Weighing(1000.0, 990.0, Span.exactly(0.03), Span.exactly(0.08)))

    assert 1000 * loss.water.value == pytest.approx(30 - 79.2)
    assert Cannot.WETTER in loss.cannot


@pytest.mark.parametrize(
    ("charge", "end", "words"),
    [
        (0.0, 0.0, "above zero"),
        (1000.0, 0.0, "above zero"),
        (1000.0, 1001.0, "gets heavier"),
        (-5.0, 1.0, "above zero"),
    ],
)
def test_weights_that_cannot_be_are_refused(charge: float, end: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        Weighing(charge, end)


def test_water_that_is_no_share_is_refused() -> None:
    with pytest.raises(InputError, match="share"):
        Weighing(1000.0, 950.0, Span.exactly(7.0))
    with pytest.raises(InputError, match="shares"):
        weight_loss(7.0, 2.0)
