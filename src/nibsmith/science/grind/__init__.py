"""Sizes of grains and how grinding changes them: distributions, speed, breakage, energy, heat, drying."""

from nibsmith.science.grind.breakage import Breakage, grind
from nibsmith.science.grind.breakage_fit import BreakageFit, FinerReading, fit_breakage
from nibsmith.science.grind.conching import Leaving, leaving_from_two_readings
from nibsmith.science.grind.diffraction import SizeTable, read_size_table
from nibsmith.science.grind.energy import bond, kick, rittinger
from nibsmith.science.grind.heat import WarmUp, friction_rise
from nibsmith.science.grind.kinetics import Grinding, grinding_from_two_readings, oversize
from nibsmith.science.grind.micrometer import SizeReading, reading_deviation
from nibsmith.science.grind.mouthfeel import Aim, Feels, feels, largest_for, told_apart
from nibsmith.science.grind.readings import GrindFit, fit_readings
from nibsmith.science.grind.sizes import (
    LogNormalSizes,
    MeasuredSizes,
    RosinRammler,
    Sizes,
    SizeSummary,
    log_normal_from_d90,
    rosin_rammler_from_two_points,
    sauter_mean,
    summary,
    volume_mean,
)
from nibsmith.science.grind.speed import KitSpeed, calibrate_speed, usual_speed

__all__ = [
    "Aim",
    "Breakage",
    "BreakageFit",
    "Feels",
    "FinerReading",
    "GrindFit",
    "Grinding",
    "KitSpeed",
    "Leaving",
    "LogNormalSizes",
    "MeasuredSizes",
    "RosinRammler",
    "SizeReading",
    "SizeSummary",
    "SizeTable",
    "Sizes",
    "WarmUp",
    "bond",
    "calibrate_speed",
    "feels",
    "fit_breakage",
    "fit_readings",
    "friction_rise",
    "grind",
    "grinding_from_two_readings",
    "kick",
    "largest_for",
    "leaving_from_two_readings",
    "log_normal_from_d90",
    "oversize",
    "read_size_table",
    "reading_deviation",
    "rittinger",
    "rosin_rammler_from_two_points",
    "sauter_mean",
    "summary",
    "told_apart",
    "usual_speed",
    "volume_mean",
]
