"""Small words that the answers share: lists, temperatures, weights."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal

from nibsmith.science.mixture import Ingredient, Part, Span, ingredients
from nibsmith.science.quantities import Scale, format_mass
from nibsmith.science.quantities.formats import MINUS, TENTH, THOUSANDS
from nibsmith.science.quantities.shown import format_celsius, format_number, tenths_of
from nibsmith.science.tables import Status

NO_BREAK = "\u00a0"
RANGE = "\u2013"
_ONE_WITH_S = "molasses"
_WHOLE_FROM_G = 100_000  # weights from here on are said in whole grams
_PROPER = frozenset({"Brazil"})  # first words of packaged names that keep their capital


def joined(words: Sequence[str], last: str = "and") -> str:
    """Return words as a person lists them: ``a, b and c``.

    Examples
    --------
    >>> joined(["milk"]), joined(["milk", "almond", "sesame"])
    ('milk', 'milk, almond and sesame')
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capital(text: str) -> str:
    """Return a text with its first letter large and the others as they are.

    Examples
    --------
    >>> capital("milk, Brazil nut")
    'Milk, Brazil nut'
    """
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """Return a text with its first letter small, to stand inside a sentence.

    Examples
    --------
    >>> small("The air was not measured")
    'the air was not measured'
    """
    return text[:1].lower() + text[1:]


def ended(text: str) -> str:
    """Return a text with one mark at its end: its own, or a full stop.

    Examples
    --------
    >>> ended("it was connected"), ended("was it connected?"), ended("it was.")
    ('it was connected.', 'was it connected?', 'it was.')
    """
    return text if text.endswith((".", "?", "!")) else f"{text}."


def thing(what: Ingredient | Part) -> str:
    """Return the name of an ingredient or part as it stands inside a sentence.

    A packaged name is turned round at its comma and loses its capital; a name of the maker's own stays,
    also where an own ingredient has a key.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from nibsmith.science.mixture import ingredient
    >>> thing(ingredient("raspberry_raw")), thing(ingredient("brazilnut"))
    ('fresh raspberries', 'Brazil nuts')
    >>> thing(replace(ingredient("almond"), key="own:7", name="Almonds, Lot 3"))
    'Almonds, Lot 3'
    """
    if isinstance(what, Part):
        return thing(what.of) if isinstance(what.of, Ingredient) else what.of.name
    packaged = ingredients().get(what.key)
    if packaged is None or packaged.name != what.name:
        return what.name
    noun, *adjectives = what.name.split(", ")
    words = " ".join((*adjectives, noun if noun.split()[0] in _PROPER else noun[:1].lower() + noun[1:]))
    return words if words.split()[0] in _PROPER else words[:1].lower() + words[1:]


def is_many(what: Ingredient | Part) -> bool:
    """Return whether a thing is spoken of as many, by the noun of its name.

    Examples
    --------
    >>> from nibsmith.science.mixture import ingredient
    >>> [is_many(ingredient(key)) for key in ("peanut", "fig_dried", "cocoa_mass", "molasses")]
    [True, True, False, False]
    """
    name = what.name if isinstance(what, Ingredient) else what.of.name
    noun = name.partition(",")[0].casefold()
    return noun.endswith("s") and not noun.endswith("ss") and noun.split()[-1:] != [_ONE_WITH_S]


def whose(part: Part) -> str:
    """Say that a part is the maker's own, so that nobody takes the packaged thing of its name instead.

    Examples
    --------
    >>> from nibsmith.science.mixture import Kind, own_ingredient, part
    >>> whose(part(own_ingredient("Cocoa butter", Kind.BUTTER, {}), 1.0)), whose(part("cocoa_butter", 1.0))
    ('yours', '')
    """
    if not isinstance(part.of, Ingredient):
        return "own recipe"
    return "yours" if part.of.status is Status.OWN_SHEET else ""


def told_apart(of: Part, parts: Iterable[Part]) -> str:
    """Return the name of a part among others, with whose it is where another part has the same name.

    Examples
    --------
    >>> from nibsmith.science.mixture import Kind, own_ingredient, part
    >>> own = own_ingredient("Cocoa butter", Kind.BUTTER, {})
    >>> both = part(own, 1.0, label="mine"), part("cocoa_butter", 1.0)
    >>> [told_apart(each, both) for each in both], told_apart(both[0], both[:1])
    (['Cocoa butter, yours', 'Cocoa butter'], 'Cocoa butter')
    """
    alike = sum(each.name == of.name for each in parts) > 1
    return f"{of.name}, {whose(of)}" if alike and whose(of) else of.name


def degrees(celsius: float) -> str:
    """Return a temperature in °C with °F beside it, each to a tenth of its own.

    Examples
    --------
    >>> degrees(31.5).replace(NO_BREAK, " ")
    '31.5 °C (88.7 °F)'
    """
    return format_celsius(celsius)


def degrees_span(span: Span) -> str:
    """Return a range of temperatures in °C with °F beside it.

    Examples
    --------
    >>> degrees_span(Span(31.0, 31.5, 32.0)).replace(NO_BREAK, " ")
    '31–32 °C (87.8–89.6 °F)'
    >>> degrees_span(Span(-18.0, -10.0, -5.0)).replace(NO_BREAK, " ")
    '−18 to −5 °C (−0.4 to 23 °F)'
    """
    if not span.varies:
        return degrees(span.value)
    return f"{_ends(span, 'C')} ({_ends(span, 'F')})"


def grams(mass_g: float | Decimal, step_g: Decimal = Decimal(1)) -> str:
    """Return a weight rounded to a step, in words for a sentence.

    Examples
    --------
    >>> grams(65.6).replace(NO_BREAK, " ")
    '66 g'
    """
    return format_mass(mass_g, resolution=step_g)


def exactly(mass_g: float) -> str:
    """Return a weight with no more decimals than it has.

    Examples
    --------
    >>> [exactly(mass_g).replace(NO_BREAK, " ").replace(THOUSANDS, "'") for mass_g in (70.0, 12.5, 5770.0)]
    ['70 g', '12.5 g', "5'770 g"]
    """
    shown = Decimal(f"{mass_g:.6g}" if mass_g < _WHOLE_FROM_G else f"{mass_g:.0f}")  # what is left is noise
    return f"{shown.normalize():,f}".replace(",", THOUSANDS) + f"{NO_BREAK}g"


def step_of_unit(unit: str) -> Decimal | None:
    """Return the step to which figures of a unit are always said; none where it depends on the figure.

    Examples
    --------
    >>> step_of_unit("min"), step_of_unit("°C"), step_of_unit("g")
    (Decimal('1'), Decimal('0.1'), None)
    """
    return {"min": Decimal(1), "°C": TENTH, "°F": TENTH}.get(unit)


def minutes(time_min: float) -> str:
    """Return a time in whole minutes, without its unit.

    Examples
    --------
    >>> minutes(59.5), minutes(58.5)
    ('60', '59')
    """
    return format_number(time_min, step_of_unit("min") or Decimal(1))


def minutes_span(low_min: float, high_min: float) -> str:
    """Return the ends of a time in whole minutes, without its unit; the high one may be endless.

    Examples
    --------
    >>> minutes_span(57.2, 89.0), minutes_span(57.2, 57.4), minutes_span(57.2, float("inf"))
    ('57–89', '57', '57 and more')
    """
    low = minutes(low_min)
    if not math.isfinite(high_min):
        return f"{low} and more"
    high = minutes(high_min)
    return low if low == high else f"{low}{RANGE}{high}"


def _ends(span: Span, scale: Scale) -> str:
    low, high = tenths_of(span.low, scale), tenths_of(span.high, scale)
    between = " to " if MINUS in low else RANGE  # a dash beside a minus sign is hard to read
    return f"{low}{between}{high}{NO_BREAK}°{scale}"
