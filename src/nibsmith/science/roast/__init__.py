"""Roasting: the curve and its rate, the loss, the heat, and the inside of a bean.

Reading a logger's file is in ``roast.log``, reading typed points in ``roast.typed``.
"""

from nibsmith.science.roast.bean import BeanHeat, BeanSize, bean_heat, usual_bean, usual_shares
from nibsmith.science.roast.bean_core import BeanCore, Body, CoreSetup, bean_core
from nibsmith.science.roast.chart import (
    Area,
    Line,
    Milestone,
    RoastChart,
    difference_strip,
    roast_chart,
    thinned,
)
from nibsmith.science.roast.compare import Compared, Comparison, compare_roasts, first_time_at
from nibsmith.science.roast.core import Drying, Heated, heated
from nibsmith.science.roast.curves import (
    Curve,
    Doubt,
    Matter,
    Note,
    Probe,
    Question,
    Roast,
    Role,
    coldest,
    time_above,
)
from nibsmith.science.roast.deaths import (
    DeathTimes,
    Weibull,
    death_time,
    death_times,
    from_the_charge,
    log_reduction,
    reductions,
    thermal_time,
    weibull_reduction,
)
from nibsmith.science.roast.drying import Shape, fourier_for, moisture_left
from nibsmith.science.roast.forecast import Forecast, forecast_end
from nibsmith.science.roast.heating import (
    Air,
    Roaster,
    dry_air,
    moving_air_transfer,
    radiation,
    sphere_convection,
    usual_transfer,
)
from nibsmith.science.roast.loss import Cannot, Loss, Weighing, split_loss, weight_loss
from nibsmith.science.roast.profile import Band, Kept, difference, keep_to_band
from nibsmith.science.roast.reduction import Reduction, reduction_with_range
from nibsmith.science.roast.shells import Bodies
from nibsmith.science.roast.smoothing import Smoothed, smooth
from nibsmith.science.roast.turn import Turn, turn_of

__all__ = [
    "Air",
    "Area",
    "Band",
    "BeanCore",
    "BeanHeat",
    "BeanSize",
    "Bodies",
    "Body",
    "Cannot",
    "Compared",
    "Comparison",
    "CoreSetup",
    "Curve",
    "DeathTimes",
    "Doubt",
    "Drying",
    "Forecast",
    "Heated",
    "Kept",
    "Line",
    "Loss",
    "Matter",
    "Milestone",
    "Note",
    "Probe",
    "Question",
    "Reduction",
    "Roast",
    "RoastChart",
    "Roaster",
    "Role",
    "Shape",
    "Smoothed",
    "Turn",
    "Weibull",
    "Weighing",
    "bean_core",
    "bean_heat",
    "coldest",
    "compare_roasts",
    "death_time",
    "death_times",
    "difference",
    "difference_strip",
    "dry_air",
    "first_time_at",
    "forecast_end",
    "fourier_for",
    "from_the_charge",
    "heated",
    "keep_to_band",
    "log_reduction",
    "moisture_left",
    "moving_air_transfer",
    "radiation",
    "reduction_with_range",
    "reductions",
    "roast_chart",
    "smooth",
    "sphere_convection",
    "split_loss",
    "thermal_time",
    "thinned",
    "time_above",
    "turn_of",
    "usual_bean",
    "usual_shares",
    "usual_transfer",
    "weibull_reduction",
    "weight_loss",
]
