"""Why a typed quantity is refused, and the way out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from nibsmith.science.errors import InputError
from nibsmith.science.quantities.cleaning import shown
from nibsmith.science.quantities.numerals import VULGAR_SIGNS
from nibsmith.science.quantities.spelling import spell
from nibsmith.science.quantities.units import unit_of, volumes

KNOWN_UNITS = "g, kg, mg, oz or lb"
_EXPONENT = r"[0-9][eE][+-]?[0-9]"
_WORD = r"[^\W\d_]+"
_NOT_NUMBERS = frozenset({"nan", "inf", "infinity", "infinite"})
_ZERO_BELOW = r"/ ?0+(?![0-9])"


class Reading(NamedTuple):
    """One way to read a quantity: its value, how to type it beyond doubt, and its number in words."""

    value: Decimal
    typed: str
    words: str


class AmbiguousQuantity(InputError):
    """A quantity that can be read in more than one way; ``readings`` holds them all, none chosen."""

    def __init__(self, text: str, readings: Sequence[Reading], *, settled_by_sign: bool = True) -> None:
        ways = " or ".join(f"{reading.typed} ({reading.words})" for reading in readings)
        more = ", or choose the decimal sign in the settings" if settled_by_sign else ""
        what = f"This can be read {spell(Decimal(len(readings)))} ways"
        super().__init__(what, value=shown(text), advice=f"Write {ways}{more}.")
        self.readings = tuple(readings)


def reading(value: Decimal, number: Decimal, unit: str = "") -> Reading:
    """Return one reading of ``number`` with its unit: ``value`` is what the parser would have returned."""
    return Reading(value, f"{certain(number)} {unit}".rstrip(), spell(number))


def certain(number: Decimal) -> str:
    """Return a number typed so that it can be read one way only: never three decimals.

    Parameters
    ----------
    number : Decimal
        The number [any unit].

    Returns
    -------
    str
        Its digits with a point, without closing zeros, but with a fourth decimal where there are three.

    Examples
    --------
    >>> certain(Decimal("1.500")), certain(Decimal("1.234")), certain(Decimal("1500"))
    ('1.5', '1.2340', '1500')
    """
    text = f"{number:f}"
    if "." not in text:
        return text
    text = text.rstrip("0").rstrip(".")
    return f"{text}0" if len(text.partition(".")[2]) == 3 else text


def refuse(typed: str) -> InputError:
    """Return the reason why a cleaned text is no mass, the most telling one first."""
    return _strange_sign(typed) or _not_written_so(typed) or _word_trouble(typed) or _number_trouble(typed)


def _refusal(what: str, typed: str, advice: str) -> InputError:
    return InputError(what, value=shown(typed), advice=advice)


def _strange_sign(typed: str) -> InputError | None:
    for sign in typed:
        if not sign.isprintable() and sign not in "\t\n":
            return _refusal(f"It holds the unseen sign U+{ord(sign):04X}", typed, "Type it again by hand.")
        if sign.isdigit() and not sign.isascii():
            return _refusal(f"The digit {sign} is not read here", typed, "Use the digits 0 to 9.")
    return None


def _not_written_so(typed: str) -> InputError | None:
    if re.search(_EXPONENT, typed):
        return _refusal("Powers of ten are not read here", typed, "Write the number out, such as 1200 g.")
    if "-" in typed:
        what = "A dash can be a minus sign or a range, and a mass is neither"
        return _refusal(what, typed, "Write one amount without a dash.")
    if "%" in typed:
        return _refusal("A share in percent is not a mass", typed, f"Write the mass with {KNOWN_UNITS}.")
    if "°" in typed:
        return _refusal("A temperature is not a mass", typed, f"Write the mass with {KNOWN_UNITS}.")
    return None


def _word_trouble(typed: str) -> InputError | None:
    words = [word.lower() for word in re.findall(_WORD, typed)]
    if volume := next((word for word in words if word in volumes()), None):
        return volume_refused(volume, typed)
    if any(word in _NOT_NUMBERS for word in words):
        return _refusal("This is not a number", typed, "Write an amount such as 500 g.")
    if "gr" in words:
        return _refusal("gr can mean gram or grain", typed, "Write g for grams.")
    if unknown := next((word for word in words if unit_of(word) is None), None):
        return _refusal(f"{shown(unknown)} is not a unit of mass known here", typed, f"Write {KNOWN_UNITS}.")
    return None


def volume_refused(word: str, typed: str) -> InputError:
    """Return the refusal of a cup, a spoon, a millilitre, and the way out."""
    what = f"{shown(word)} is not a mass: what it weighs depends on what is in it and how it is filled"
    return _refusal(what, typed, "Weigh it once and save it as yours.")


def _number_trouble(typed: str) -> InputError:
    if not any(sign in VULGAR_SIGNS or sign.isdigit() for sign in typed):
        return _refusal("There is no number in it", typed, "Write an amount such as 500 g.")
    if not re.search(_WORD, typed):
        return _refusal("A number needs its unit", typed, f"Write {KNOWN_UNITS} after it.")
    if re.search(_ZERO_BELOW, typed):
        return _refusal("A fraction cannot have zero below the line", typed, "Write it as a decimal number.")
    what = "This amount is not written in a way that can be read"
    return _refusal(what, typed, "Write it such as 1040 g, 1.5 kg or 1 lb 2 oz.")
