"""What a kit's page says: every figure with its unit, and whether it is the maker's or common practice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from nibsmith.science.kit import Kit, kit
from nibsmith.science.label import Where, cautions
from nibsmith.science.mixture import Form, Recipe, Span, part
from nibsmith.science.quantities import Temperature, format_mass, format_temperature
from nibsmith.science.tables import STATUS_WORDS, Status
from nibsmith.shop.common.figures import NO_BREAK, UNKNOWN, as_given, with_unit
from nibsmith.shop.common.workshop.selectors import WorkshopSettings
from nibsmith.shop.kit.models import Fridge, OwnKit, Probe
from nibsmith.shop.kit.selectors import fridge_air

HUNDREDTH = Decimal("0.01")
ONE = Decimal(1)
YOURS = "yours"


@dataclass(frozen=True, slots=True)
class Line:
    """One figure as it is shown, and whose it is."""

    name: str
    text: str
    whose: str


def read(shown: Kit, settings: WorkshopSettings, own: OwnKit | None = None) -> tuple[Line, ...]:
    """Put a kit into words and figures."""
    base = shown if own is None else kit(own.based_on)
    return tuple(
        Line(name, _as_typed(key, own, settings) or text, _whose(key, base.status_of(key), own))
        for key, name, text in _lines(shown, settings)
    )


def _as_typed(key: str, own: OwnKit | None, settings: WorkshopSettings) -> str:
    """Write a share of the maker's with the digits it was typed with; nothing stays a word."""
    value = None if own is None else own.as_typed(key)
    if not value:
        return ""
    text = f"{value:f}".replace(".", settings.decimal_sign or ".")
    return with_unit(text, "%")


def _lines(shown: Kit, settings: WorkshopSettings) -> Iterable[tuple[str, str, str]]:
    yield "charge_min_g", "Smallest charge", _mass(shown.charge_min_g, settings)
    yield "charge_max_g", "Largest charge", _mass(shown.charge_max_g, settings)
    yield "size_um", "Largest grains reached", _ends(shown.size_um, "µm", settings)
    yield "hours", "Time", _ends(shown.hours, "h", settings)
    yield "residue_g", "Stays behind", _span(shown.residue_g, "g", settings)
    yield "loss_percent", "Lost besides, of the finished mass", _percent(shown.loss_percent, settings)
    yield "end_water_percent", "Water of the finished mass", _water(shown.end_water_percent, settings)
    yield "grinds_sugar", "Grinds granulated sugar", "yes" if shown.grinds_sugar else "no"
    if shown.warm_celsius is not None:
        low, high = (_degrees(end, settings) for end in shown.warm_celsius)
        yield "warm_celsius", "Warm it to", f"{low} to {high}"
    yield "ceiling_celsius", "Not hotter than", _degrees(shown.ceiling_celsius, settings)
    if shown.ceiling_milk_celsius is not None:
        yield "", "Milk and white, not hotter than", _degrees(shown.ceiling_milk_celsius, settings)


def mass(grams: Decimal | float, settings: WorkshopSettings) -> str:
    """Write a mass in grams, with pounds and ounces beside it where the workshop counts in them."""
    sign = settings.decimal_sign or "."
    text = with_unit(as_given(grams, settings.decimal_sign), "g")
    if settings.mass_unit == "g":
        return text
    return f"{text} ({format_mass(grams, 'lb oz', HUNDREDTH, sign)})"


def _mass(grams: float | None, settings: WorkshopSettings) -> str:
    return UNKNOWN if grams is None else mass(grams, settings)


def _ends(ends: tuple[float, float], unit: str, settings: WorkshopSettings) -> str:
    low, high = (as_given(end, settings.decimal_sign) for end in ends)
    return with_unit(f"{low} to {high}", unit)


def _span(span: Span, unit: str, settings: WorkshopSettings) -> str:
    sign = settings.decimal_sign
    usual = with_unit(as_given(span.value, sign), unit)
    if not span.varies:
        return usual
    return f"{usual}, from {as_given(span.low, sign)} to {with_unit(as_given(span.high, sign), unit)}"


def _percent(percent: float, settings: WorkshopSettings) -> str:
    return with_unit(as_given(percent, settings.decimal_sign), "%") if percent else "nothing"


def _water(span: Span | None, settings: WorkshopSettings) -> str:
    return "stays nearly as charged" if span is None else _span(span, "%", settings)


def _degrees(celsius: float | None, settings: WorkshopSettings) -> str:
    if celsius is None:
        return UNKNOWN
    if settings.temperature_unit == "C":
        return with_unit(as_given(celsius, settings.decimal_sign), "°C")
    exact = Temperature(Decimal(repr(celsius)), "C")
    return format_temperature(exact, "F", ONE, settings.decimal_sign or ".")


def _whose(key: str, status: Status, own: OwnKit | None) -> str:
    return YOURS if own is not None and getattr(own, key, None) is not None else STATUS_WORDS[status]


def degrees(celsius: Decimal, settings: WorkshopSettings) -> str:
    """Write a temperature on the scale of the workshop."""
    return _degrees(float(celsius), settings)


def fridge_facts(row: Fridge, settings: WorkshopSettings) -> tuple[str, str, str]:
    """Return how cold a fridge is, how its air moves, and the heat that this takes up.

    How the air moves stands only for its usual figure: where the maker has an own one it is not said.
    """
    air = _span(fridge_air(row), f"W/(m²{NO_BREAK}K)", settings)
    if row.air_h is not None:
        return degrees(row.celsius, settings), "by your own figure", f"{air}; {YOURS}"
    return degrees(row.celsius, settings), row.get_air_display(), f"{air}; usual for such air"


def probe_facts(row: Probe, settings: WorkshopSettings) -> tuple[str, str, str]:
    """Return what a probe measures, what is added to it, and how sure that is."""
    sign = settings.decimal_sign
    added = with_unit(as_given(row.offset_k, sign), "K") if row.offset_k else "nothing"
    unsure = row.uncertainty_k
    good_to = "not checked" if unsure is None else with_unit(f"± {as_given(unsure, sign)}", "K")
    return row.get_measures_display(), added, good_to


def cautions_of(key: str) -> tuple[str, ...]:
    """Return what has to be minded about a kit at work, without what holds for every one."""
    anything = Recipe(key, Form.BAR, (part("sugar_granulated", 1.0),))
    return tuple(found.sentence for found in cautions(anything, Where.WORK, key) if key in found.kits)
