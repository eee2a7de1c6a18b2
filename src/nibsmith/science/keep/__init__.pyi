from .classify import (
    is_liquid,
    is_wet_food,
)
from .drying import (
    water_to_remove,
)
from .inclusions import (
    Inclusion,
    Risk,
    judge_inclusion,
)
from .instead import (
    Replacement,
    replacement_for,
)
from .water import (
    MassWater,
    extra_water,
    mass_water,
    water_limit,
)

__all__ = [
    "Inclusion",
    "MassWater",
    "Replacement",
    "Risk",
    "extra_water",
    "is_liquid",
    "is_wet_food",
    "judge_inclusion",
    "mass_water",
    "replacement_for",
    "water_limit",
    "water_to_remove",
]
