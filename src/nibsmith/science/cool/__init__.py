"""How bars cool and set, when they come off the mould, and what the air of a room does to them."""

from nibsmith.science.cool.air import (
    Gas,
    Wind,
    cool_air,
    plate_coefficient,
    radiation_coefficient,
    through_wall,
    usual_coefficient,
)
from nibsmith.science.cool.bar import Bar, Faces, Slab, each, usual_slab
from nibsmith.science.cool.course import Course
from nibsmith.science.cool.damp import dew_point, safe_surface, surface_humidity, vapour_pressure
from nibsmith.science.cool.front import front_constant, front_depth
from nibsmith.science.cool.load import FridgeLoad, Moulds, fridge_load
from nibsmith.science.cool.many import cool_many, cool_until
from nibsmith.science.cool.one import cool_bar
from nibsmith.science.cool.release import Release, Waiting, contraction, released
from nibsmith.science.cool.series import Mode, Shape, excess_left, lumped_left, modes

__all__ = [
    "Bar",
    "Course",
    "Faces",
    "FridgeLoad",
    "Gas",
    "Mode",
    "Moulds",
    "Release",
    "Shape",
    "Slab",
    "Waiting",
    "Wind",
    "contraction",
    "cool_air",
    "cool_bar",
    "cool_many",
    "cool_until",
    "dew_point",
    "each",
    "excess_left",
    "fridge_load",
    "front_constant",
    "front_depth",
    "lumped_left",
    "modes",
    "plate_coefficient",
    "radiation_coefficient",
    "released",
    "safe_surface",
    "surface_humidity",
    "through_wall",
    "usual_coefficient",
    "usual_slab",
    "vapour_pressure",
]
