"""What shortens the life of a chocolate: water in the mass, and wet or raw inclusions."""

from nibsmith.science.keep.classify import is_liquid, is_wet_food
from nibsmith.science.keep.drying import water_to_remove
from nibsmith.science.keep.inclusions import Inclusion, Risk, judge_inclusion
from nibsmith.science.keep.instead import Replacement, replacement_for
from nibsmith.science.keep.water import MassWater, extra_water, mass_water, water_limit

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
