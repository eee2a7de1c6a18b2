"""Kitchen quantities: what a person types, read once and exactly, and written back to the step of a scale."""

from nibsmith.science.quantities.cleaning import LONGEST
from nibsmith.science.quantities.formats import (
    MassForm,
    format_mass,
    format_percent,
    format_temperature,
    format_temperature_difference,
    round_half_up,
    scale_digits,
)
from nibsmith.science.quantities.mass import parse_mass
from nibsmith.science.quantities.numerals import DecimalSign
from nibsmith.science.quantities.percent import parse_number, parse_percent
from nibsmith.science.quantities.refusals import AmbiguousQuantity, Reading, certain
from nibsmith.science.quantities.temperature import (
    Scale,
    Temperature,
    TemperatureDifference,
    parse_temperature,
    parse_temperature_difference,
)
from nibsmith.science.quantities.things import LONGEST_LIST, MOST_THINGS, Thing, parse_things
from nibsmith.science.quantities.units import GRAMS_PER, GRAMS_PER_OUNCE, GRAMS_PER_POUND, OUNCES_PER_POUND

__all__ = [
    "GRAMS_PER",
    "GRAMS_PER_OUNCE",
    "GRAMS_PER_POUND",
    "LONGEST",
    "LONGEST_LIST",
    "MOST_THINGS",
    "OUNCES_PER_POUND",
    "AmbiguousQuantity",
    "DecimalSign",
    "MassForm",
    "Reading",
    "Scale",
    "Temperature",
    "TemperatureDifference",
    "Thing",
    "certain",
    "format_mass",
    "format_percent",
    "format_temperature",
    "format_temperature_difference",
    "parse_mass",
    "parse_number",
    "parse_percent",
    "parse_temperature",
    "parse_temperature_difference",
    "parse_things",
    "round_half_up",
    "scale_digits",
]
