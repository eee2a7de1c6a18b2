"""Quantities as a maker reads them: rounded to the scale, half up, with thin spaces for thousands."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.numerals import EXACT, DecimalSign
from nibsmith.science.quantities.temperature import Scale, Temperature, TemperatureDifference
from nibsmith.science.quantities.units import grams_per

MassForm = Literal["g", "kg", "mg", "oz", "lb", "lb oz"]
Number = Decimal | int | float

TENTH = Decimal("0.1")
THOUSANDS = "\u202f"  # narrow no-break space
BEFORE_UNIT = "\u00a0"  # no-break space
MINUS = "\u2212"
_DIGITS = 18  # whole digits beyond which a figure is no kitchen quantity


def exact(number: Number) -> Decimal:
    """Return a number as the Decimal that its shortest writing names: 0.1 is one tenth.

    Raises
    ------
    InputError
        If it is not finite or has more than 18 whole digits.
    """
    value = Decimal(float.__repr__(number)) if isinstance(number, float) else Decimal(number)
    if not value.is_finite() or value.adjusted() >= _DIGITS:
        raise InputError("This number cannot be written as a quantity", value=value)
    return value


def scale_digits(resolution: Decimal) -> int:
    """Return how many decimals a scale of this resolution shows.

    Parameters
    ----------
    resolution : Decimal
        One step of the scale [in the unit shown].

    Returns
    -------
    int
        Decimals: 1 for 0.1, 2 for 0.05, 0 for 1 and 5.

    Raises
    ------
    InputError
        If it is not above zero, or finer than 12 decimals.

    Examples
    --------
    >>> scale_digits(Decimal("0.10")), scale_digits(Decimal(5))
    (1, 0)
    """
    if not resolution.is_finite() or resolution <= 0:
        raise InputError("The resolution of a scale is above zero", value=resolution)
    exponent = resolution.normalize(EXACT).as_tuple().exponent
    digits = max(0, -exponent) if isinstance(exponent, int) else 0
    if digits > 12 or resolution.adjusted() >= _DIGITS:
        raise InputError("No scale has this resolution", value=resolution, advice="Use a step such as 0.1.")
    return digits


def round_half_up(number: Number, resolution: Decimal = TENTH) -> Decimal:
    """Return the multiple of the resolution nearest to a number, a half going away from zero.

    r = s x floor(|x|/s + 1/2), with the sign of x and s the resolution.

    Parameters
    ----------
    number : Decimal, int or float
        What to round [any unit].
    resolution : Decimal
        The step s [the same unit].

    Returns
    -------
    Decimal
        With as many decimals as the step has [the same unit].

    Raises
    ------
    InputError
        If the number is not finite or the step is not above zero.

    Examples
    --------
    >>> round_half_up(Decimal("0.25"))
    Decimal('0.3')
    >>> round_half_up(13, Decimal(5))
    Decimal('15')
    """
    digits = scale_digits(resolution)
    steps = EXACT.divide(exact(number), resolution).quantize(Decimal(1), ROUND_HALF_UP, EXACT)
    return EXACT.multiply(steps, resolution).quantize(Decimal(1).scaleb(-digits, EXACT), ROUND_HALF_UP, EXACT)


def format_mass(
    grams: Number, unit: MassForm = "g", resolution: Decimal = TENTH, decimal_sign: DecimalSign = "."
) -> str:
    """Return a mass as text, to be read back by ``parse_mass`` under the same decimal sign.

    Parameters
    ----------
    grams : Decimal, int or float
        The mass [g].
    unit : str
        ``g``, ``kg``, ``mg``, ``oz``, ``lb``, or ``lb oz`` for pounds and ounces.
    resolution : Decimal
        One step [in the unit shown, for ``lb oz`` in oz].
    decimal_sign : str
        ``.`` or ``,``.

    Returns
    -------
    str
        Half up to the step; narrow no-break spaces set off thousands; a true minus sign where it is a change.

    Raises
    ------
    InputError
        If the mass is not finite, or the unit, step or decimal sign is none.

    Notes
    -----
    Range: up to 18 whole digits. Less than one pound is shown in ounces alone.

    Examples
    --------
    >>> format_mass(1040, resolution=Decimal(1)).split()
    ['1', '040', 'g']
    >>> " ".join(format_mass(Decimal("1034.76"), "lb oz").split())
    '2 lb 4.5 oz'
    """
    if unit == "lb oz":
        return _pounds_and_ounces(exact(grams), resolution, decimal_sign)
    return _with_unit(_digits(EXACT.divide(exact(grams), grams_per(unit)), resolution, decimal_sign), unit)


def _pounds_and_ounces(grams: Decimal, resolution: Decimal, decimal_sign: DecimalSign) -> str:
    ounces = round_half_up(EXACT.divide(grams, grams_per("oz")), resolution)
    pounds, rest = EXACT.divmod(ounces.copy_abs(), EXACT.divide(grams_per("lb"), grams_per("oz")))
    text = _with_unit(_written(rest, decimal_sign), "oz")
    if pounds:
        text = f"{_with_unit(_written(pounds, decimal_sign), 'lb')}{BEFORE_UNIT}{text}"
    return f"{MINUS}{text}" if ounces < 0 else text


def format_percent(percent: Number, resolution: Decimal = TENTH, decimal_sign: DecimalSign = ".") -> str:
    """Return a share as text, such as ``52.5 %``.

    Parameters
    ----------
    percent : Decimal, int or float
        The share [%].
    resolution : Decimal
        One step [%].
    decimal_sign : str
        ``.`` or ``,``.

    Returns
    -------
    str
        Half up to the step.

    Raises
    ------
    InputError
        If the share is not finite, or the step or decimal sign is none.

    Notes
    -----
    Range: up to 18 whole digits.

    Examples
    --------
    >>> format_percent(Decimal("33.333")).split()
    ['33.3', '%']
    """
    return _with_unit(_digits(exact(percent), resolution, decimal_sign), "%")


def format_temperature(
    temperature: Temperature,
    scale: Scale | None = None,
    resolution: Decimal = TENTH,
    decimal_sign: DecimalSign = ".",
) -> str:
    """Return a temperature as text, such as ``31.5 °C``.

    Parameters
    ----------
    temperature : Temperature
        The temperature.
    scale : str, optional
        ``C`` or ``F``; its own scale where none is given.
    resolution : Decimal
        One step [°C or °F].
    decimal_sign : str
        ``.`` or ``,``.

    Returns
    -------
    str
        Half up to the step.

    Raises
    ------
    InputError
        If the scale, step or decimal sign is none.

    Notes
    -----
    Range: every temperature.

    Examples
    --------
    >>> format_temperature(Temperature(Decimal("31.5"), "C"), "F").split()
    ['88.7', '°F']

    References
    ----------
    [nist-sp811]
    """
    shown_on = scale or temperature.scale
    if shown_on not in ("C", "F"):
        raise InputError("A temperature is shown in °C or °F", value=shown_on)
    value = temperature.celsius if shown_on == "C" else temperature.fahrenheit
    return _with_unit(_digits(value, resolution, decimal_sign), f"°{shown_on}")


def format_temperature_difference(
    difference: TemperatureDifference, resolution: Decimal = TENTH, decimal_sign: DecimalSign = "."
) -> str:
    """Return a difference of temperature as text, such as ``1.5 K``.

    Parameters
    ----------
    difference : TemperatureDifference
        The difference.
    resolution : Decimal
        One step [K].
    decimal_sign : str
        ``.`` or ``,``.

    Returns
    -------
    str
        Half up to the step.

    Raises
    ------
    InputError
        If the step or decimal sign is none.

    Notes
    -----
    Range: up to 18 whole digits.

    Examples
    --------
    >>> format_temperature_difference(TemperatureDifference(Decimal("1.25"))).split()
    ['1.3', 'K']
    """
    return _with_unit(_digits(difference.kelvin, resolution, decimal_sign), "K")


def _with_unit(digits: str, unit: str) -> str:
    return f"{digits}{BEFORE_UNIT}{unit}"


def _digits(value: Decimal, resolution: Decimal, decimal_sign: DecimalSign) -> str:
    return _written(round_half_up(value, resolution), decimal_sign)


def _written(rounded: Decimal, decimal_sign: DecimalSign) -> str:
    if decimal_sign not in (".", ","):
        raise InputError("The decimal sign is a point or a comma", value=repr(decimal_sign))
    whole, point, decimals = f"{rounded.copy_abs():,f}".partition(".")
    digits = whole.replace(",", THOUSANDS) + (decimal_sign if point else "") + decimals
    return f"{MINUS}{digits}" if rounded < 0 else digits
