"""Figures as the recipe page shows them and takes them back, in the decimal sign of the workshop."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from nibsmith.science.money import currency
from nibsmith.science.quantities import format_mass
from nibsmith.shop.common.figures import NO_BREAK
from nibsmith.shop.common.workshop.selectors import WorkshopSettings

AS_TYPED = 3  # decimals up to which an amount is shown with the digits it was typed with
TENTH = Decimal("0.1")
HUNDREDTH = Decimal("0.01")
_FINE = Decimal("0.0001")  # for shares below a tenth of a percent: salt, lecithin in a large batch
OUNCE_STEP = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight as shown: number and unit apart, pounds and ounces beside where the workshop uses them."""

    number: str
    unit: str
    beside: str = ""


def typed_text(number: Decimal, settings: WorkshopSettings) -> str:
    """Write an amount as its field shows it: as typed, or rounded where it followed from weights."""
    exponent = number.as_tuple().exponent
    if not isinstance(exponent, int) or -exponent > AS_TYPED:
        number = _without_zeros(number.quantize(_FINE if 0 < number < TENTH else HUNDREDTH, ROUND_HALF_UP))
    return _signed(f"{number:f}", settings)


def price_text(price: Decimal, settings: WorkshopSettings) -> str:
    """Write a price as its field shows it: no zeros that say nothing, but all digits of the currency."""
    plain = price.normalize()
    smallest = currency(settings.currency).smallest
    finer = int(plain.as_tuple().exponent) < int(smallest.as_tuple().exponent)
    whole = plain == plain.to_integral_value()
    text = f"{plain:f}" if finer or whole else f"{plain.quantize(smallest):f}"
    return _signed(text, settings)


def _without_zeros(number: Decimal) -> Decimal:
    """Drop zeros behind the decimal sign, but for the first."""
    text = f"{number:f}".rstrip("0")
    return Decimal(f"{text}0" if text.endswith(".") else text)


def share_text(percent: Fraction, settings: WorkshopSettings, step: Decimal = HUNDREDTH) -> str:
    """Write an exact share to a step, without its sign."""
    number = Decimal(percent.numerator) / Decimal(percent.denominator)
    return _signed(f"{number.quantize(step, ROUND_HALF_UP):f}", settings)


def weight(grams: Decimal | float, settings: WorkshopSettings) -> Weight:
    """Write a weight to the step of the scale."""
    number, _, unit = weight_text(grams, settings).rpartition(NO_BREAK)
    beside = ""
    if settings.mass_unit == "oz":
        beside = format_mass(grams, "lb oz", OUNCE_STEP, settings.decimal_sign or ".")
    return Weight(number, unit, beside)


def weight_text(grams: Decimal | float, settings: WorkshopSettings) -> str:
    """Write a weight with its unit, as a field takes it back."""
    return format_mass(grams, "g", settings.scale_g, settings.decimal_sign or ".")


def _signed(text: str, settings: WorkshopSettings) -> str:
    return text.replace(".", settings.decimal_sign or ".")
