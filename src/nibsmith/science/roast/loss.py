"""What a roast weighs less, split into water and the rest by a balance of the dry mass."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load


@dataclass(frozen=True)
class Weighing:
    """What was weighed before and after [g], and the water of both where it is known [0 to 1].

    Shells stay with the beans: weigh before anything is cracked or winnowed. ``None`` is not known.
    """

    charge_g: float
    end_g: float
    water_before: Span | None = None
    water_after: Span | None = None

    def __post_init__(self) -> None:
        if not (self.charge_g > 0 and self.end_g > 0):
            raise InputError(
                "Weights before and after are above zero", value=f"{self.charge_g:g} and {self.end_g:g} g"
            )
        if self.end_g > self.charge_g:
            raise InputError(
                "Nothing gets heavier in a roast",
                value=f"{self.charge_g:g} g before, {self.end_g:g} g after",
                advice="Check which weight is which, and the bowl.",
            )
        for water in (self.water_before, self.water_after):
            if water is not None and not 0 <= water.low <= water.value <= water.high < 1:
                raise InputError("Water is a share from 0 to below 1", value=water.value)

    @property
    def share(self) -> float:
        """What was lost, of the charge [0 to 1]."""
        return (self.charge_g - self.end_g) / self.charge_g


class Cannot(StrEnum):
    """What cannot be of a loss: dry mass that grew, too much of it gone, water taken up, hardly a loss."""

    GREW = "grew"
    SHRANK = "shrank"
    WETTER = "wetter"
    HARDLY = "hardly"


@dataclass(frozen=True)
class Loss:
    """What left, as shares of the charge [0 to 1]: all of it, the water, and the rest.

    ``water_before`` and ``water_after`` are the water that was reckoned with [0 to 1]; ``assumed`` names
    those of the two that nobody measured. ``cannot`` names what cannot be of it: the weights or the water
    cannot be right, or beans were lost.
    """

    total: float
    water: Span
    rest: Span
    water_before: Span
    water_after: Span
    assumed: tuple[str, ...]
    cannot: tuple[Cannot, ...]

    @property
    def doubtful(self) -> bool:
        """Whether anything of it cannot be."""
        return bool(self.cannot)


BEFORE, AFTER = "before", "after"


def weight_loss(water_before: float, water_after: float, volatiles: float = 0.0) -> float:
    """Return what beans weigh less after a roast.

    ``loss = 1 - (1 - w0)(1 - s)/(1 - w1)``.

    Parameters
    ----------
    water_before, water_after : float
        Water w0 and w1 of the beans before and after, of their mass then [0 to 1].
    volatiles : float
        Share s of the dry mass that leaves with the water [0 to 1].

    Returns
    -------
    float
        Share of the charge [0 to 1].

    Raises
    ------
    InputError
        If one of them is no share.

    Examples
    --------
    >>> round(100 * weight_loss(0.07, 0.02), 3), round(100 * weight_loss(0.07, 0.02, 0.01), 3)
    (5.102, 6.051)
    """
    if not all(0 <= share < 1 for share in (water_before, water_after, volatiles)):
        raise InputError("Water and volatiles are shares from 0 to below 1")
    return 1 - (1 - water_before) * (1 - volatiles) / (1 - water_after)


def split_loss(weighing: Weighing) -> Loss:
    """Return what of a roast's loss was water and what was not.

    With the charge as one: water that left ``w0 - (1 - loss) w1``, the rest ``(1 - w0) - (1 - loss)(1 -
    w1)``. Where the water after is not known, the rest is taken between nothing and the usual volatiles, and
    never above the loss itself.

    Parameters
    ----------
    weighing : Weighing
        Weights [g], and the water before and after where it was measured [0 to 1].

    Returns
    -------
    Loss
        Shares of the charge with their ranges [0 to 1].

    Notes
    -----
    The water of beans as bought is not measured in most workshops; the usual value with its range stands in,
    and is named as assumed.

    Examples
    --------
    >>> dry = Weighing(2000.0, 1898.0, Span.exactly(0.07), Span.exactly(0.02))
    >>> round(split_loss(dry).water.value, 5), round(split_loss(dry).rest.value, 5)
    (0.05102, -2e-05)

    References
    ----------
    [common-practice]
    """
    before = weighing.water_before or _usual("water_before")
    left = 1 - weighing.share
    if weighing.water_after is not None:
        after = weighing.water_after
        rest = _rest(before, after, left)
        if weighing.water_before is None and rest.high >= 0:  # beans drier than usual, rather than a wonder
            rest = _within(rest, weighing.share)
    else:
        rest = _usual_rest(before, weighing.share)
        after = _after(before, rest, left)
    water = Span(weighing.share - rest.high, weighing.share - rest.value, weighing.share - rest.low)
    sides = ((BEFORE, weighing.water_before), (AFTER, weighing.water_after))
    assumed = tuple(name for name, told in sides if told is None)
    cannot = tuple(_cannot_be(weighing.share, water, rest, measured=not assumed))
    return Loss(weighing.share, water, rest, before, after, assumed, cannot)


def _usual(key: str) -> Span:
    row = load("roast_bean")[key]
    return Span(row.low or 0.0, row.value, row.high or row.value)


def _rest(before: Span, after: Span, left: float) -> Span:
    """The dry mass that left: largest where the beans were driest before and wettest after."""
    return Span(
        (1 - before.high) - left * (1 - after.low),
        (1 - before.value) - left * (1 - after.value),
        (1 - before.low) - left * (1 - after.high),
    )


def _usual_rest(before: Span, lost: float) -> Span:
    """From none to the usual volatiles, and at least what the water of the beans cannot have been."""
    most = load("roast")["volatiles_most"].value * (1 - before.value)
    least = max(lost - before.high, 0.0)
    usual = Span(least, max(most / 2, least, lost - before.value), max(most, least, lost - before.low))
    return _within(usual, lost)


def _within(rest: Span, lost: float) -> Span:
    """Hold the rest between nothing and all that was lost: no water comes to beans in a roast."""
    low, value, high = (min(max(share, 0.0), lost) for share in (rest.low, rest.value, rest.high))
    return Span(low, value, high)


def _after(before: Span, rest: Span, left: float) -> Span:
    """The water left in the beans, by the balance of the dry mass, never below none."""
    values = (1 - (1 - before.low - rest.low) / left, 1 - (1 - before.high - rest.high) / left)
    middle = max(1 - (1 - before.value - rest.value) / left, 0.0)
    return Span(min(max(min(values), 0.0), middle), middle, max(*values, middle))


def _cannot_be(lost: float, water: Span, rest: Span, *, measured: bool) -> Iterator[Cannot]:
    """Name what volatiles and a slip of the scale do not explain."""
    table = load("roast")
    slip, usual = table["weighing_slip"].value, table["volatiles_most"].value
    if rest.value < -slip:
        yield Cannot.GREW
    if rest.low > usual + slip:
        yield Cannot.SHRANK
    if water.value < -slip:
        yield Cannot.WETTER
    if not measured and lost < table["loss_least"].value:
        yield Cannot.HARDLY
