"""A second reader of masses for tests, built in another way than the program's own.

It cuts the text into tokens, collects by rule every reading a number can have, and computes in fractions.
Nothing is imported from the program: units, signs and limits are written down again here.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby

GRAMS = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "mg": Fraction(1, 1000),
    "oz": Fraction(45359237, 1600000),
    "lb": Fraction(45359237, 100000),
}
WORDS = {
    "g": "g gs gm gms gram grams gramme grammes",
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
    "mg": "mg mgs milligram milligrams milligramme milligrammes",
    "oz": "oz ozs ounce ounces",
    "lb": "lb lbs pound pounds",
}
UNIT = {word: unit for unit, words in WORDS.items() for word in words.split()}
VULGAR = {
    "¼": (1, 4), "½": (1, 2), "¾": (3, 4), "⅓": (1, 3), "⅔": (2, 3), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5),
    "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8), "⅐": (1, 7),
    "⅑": (1, 9), "⅒": (1, 10), "↉": (0, 3),
}  # fmt: skip
SAME = {"\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ", "’": "'", "‘": "'", "⁄": "/"}
DIGITS = "0123456789"
LETTERS = "abcdefghijklmnopqrstuvwxyz"

AMBIGUOUS, REFUSED = "ambiguous", "refused"
Outcome = Fraction | str
Reading = tuple[Fraction, str]  # a value, and the decimal sign it takes for granted ("" for none)


def second_reading(text: str, decimal_sign: str | None) -> Outcome:
    """Return grams, "ambiguous" or "refused" by the rules of this module."""
    text = "".join(SAME.get(sign, sign) for sign in text).strip()
    if not text or len(text) > 80:
        return REFUSED
    segments = list(_segments(text))
    if len(segments) not in (1, 2) or any(unit is None for _, unit in segments):
        return REFUSED
    choices = [_settled(number, decimal_sign) for number, _ in segments]
    units = [str(unit) for _, unit in segments]
    if len(segments) == 1:
        return _only({reading * GRAMS[units[0]] for reading in choices[0]})
    return _two(choices, units)


def _segments(text: str) -> Iterator[tuple[str, str | None]]:
    """Cut the text into pairs of what is no letter and the unit the letters behind it name."""
    runs = ["".join(run) for _, run in groupby(text, key=lambda sign: sign.lower() in LETTERS)]
    if runs and runs[-1] == ".":
        runs.pop()
    if len(runs) % 2:
        runs.append("")
    for place in range(0, len(runs), 2):
        number = runs[place]
        if place and number.startswith((". ", ".\t")):
            number = number[1:]
        elif place and number[0] in ".,":
            number = "?"
        yield number.strip(" \t"), UNIT.get(runs[place + 1].lower())


def _settled(number: str, decimal_sign: str | None) -> set[Fraction]:
    readings = set(_readings(number))
    if len({value for value, _ in readings}) > 1 and decimal_sign is not None:
        readings = {(value, sign) for value, sign in readings if sign in ("", decimal_sign)}
    return {value for value, _ in readings}


def _readings(number: str) -> Iterator[Reading]:
    if _all_digits(number) and len(number) <= 12:
        yield Fraction(int(number)), ""
    for point, other in (".,", ",."):
        yield from _with_decimals(number, point)
        yield from ((value, other) for value in _thousands(number, point))
    for mark in (" ", "'"):
        yield from ((value, "") for value in _thousands(number, mark))
    yield from ((value, "") for value in _fractions(number))


def _with_decimals(number: str, point: str) -> Iterator[Reading]:
    if number.count(point) != 1:
        return
    whole, decimals = number.split(point)
    if not _all_digits(decimals) or len(decimals) > 12:
        return
    below = Fraction(int(decimals), 10 ** len(decimals))
    if whole == "" or (_all_digits(whole) and len(whole) <= 12):
        yield Fraction(int(whole or "0")) + below, point
    for mark in " '.,".replace(point, ""):
        yield from ((value + below, point) for value in _thousands(whole, mark))


def _thousands(number: str, mark: str) -> Iterator[Fraction]:
    first, *rest = number.split(mark)
    if not rest or not all(_all_digits(piece) for piece in (first, *rest)):
        return
    if 1 <= len(first) <= 3 and first[0] != "0" and len(rest) <= 3 and all(len(piece) == 3 for piece in rest):
        yield Fraction(int(first + "".join(rest)))


def _fractions(number: str) -> Iterator[Fraction]:
    if number and number[-1] in VULGAR:
        whole = number[:-1].removesuffix(" ")
        if whole == "" or (_all_digits(whole) and len(whole) <= 12):
            yield int(whole or "0") + Fraction(*VULGAR[number[-1]])
    if number.count("/") != 1:
        return
    left, right = number.split("/")
    left, below = left.removesuffix(" "), right.removeprefix(" ")
    whole, space, above = left.rpartition(" ")
    if not (_all_digits(above) and _all_digits(below)) or max(len(above), len(below)) > 2 or int(below) == 0:
        return
    if space:
        if _all_digits(whole) and len(whole) <= 12 and int(above) < int(below):
            yield int(whole) + Fraction(int(above), int(below))
        return
    yield Fraction(int(above), int(below))
    if len(above) == 2 and int(above) >= int(below) > int(above[1]) > 0 and above[0] != "0":
        yield int(above[0]) + Fraction(int(above[1]), int(below))


def _two(choices: list[set[Fraction]], units: list[str]) -> Outcome:
    large, small = units
    if (large, small) not in {("lb", "oz"), ("kg", "g"), ("kg", "mg"), ("g", "mg")}:
        return REFUSED
    grams = {
        first * GRAMS[large] + second * GRAMS[small]
        for first in choices[0]
        for second in choices[1]
        if first.denominator == 1 and second * GRAMS[small] < GRAMS[large]
    }
    return _only(grams)


def _only(values: set[Fraction]) -> Outcome:
    if not values:
        return REFUSED
    return values.pop() if len(values) == 1 else AMBIGUOUS


def _all_digits(text: str) -> bool:
    return bool(text) and all(sign in DIGITS for sign in text)
