from .cleaning import (
    LONGEST,
)
from .formats import (
    MassForm,
    format_mass,
    format_percent,
    format_temperature,
    format_temperature_difference,
    round_half_up,
    scale_digits,
)
from .mass import (
    parse_mass,
)
from .numerals import (
    DecimalSign,
)
from .percent import (
    parse_number,
    parse_percent,
)
from .refusals import (
    AmbiguousQuantity,
    Reading,
    certain,
)
from .temperature import (
    Scale,
    Temperature,
    TemperatureDifference,
    parse_temperature,
    parse_temperature_difference,
)
from .things import (
    LONGEST_LIST,
    MOST_THINGS,
    Thing,
    parse_things,
)
from .units import (
    grams_per,
)

__all__ = [
    "LONGEST",
    "LONGEST_LIST",
    "MOST_THINGS",
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
    "grams_per",
    "parse_mass",
    "parse_number",
    "parse_percent",
    "parse_temperature",
    "parse_temperature_difference",
    "parse_things",
    "round_half_up",
    "scale_digits",
]
