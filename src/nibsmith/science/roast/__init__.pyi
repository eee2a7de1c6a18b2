from .bean import (
    BeanHeat,
    BeanSize,
    bean_heat,
    usual_bean,
    usual_shares,
)
from .bean_core import (
    BeanCore,
    Body,
    CoreSetup,
    bean_core,
)
from .chart import (
    Area,
    Line,
    Milestone,
    RoastChart,
    difference_strip,
    roast_chart,
    thinned,
)
from .compare import (
    Compared,
    Comparison,
    compare_roasts,
    first_time_at,
)
from .core import (
    Drying,
    Heated,
    heated,
)
from .curves import (
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
from .deaths import (
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
from .drying import (
    Shape,
    fourier_for,
    moisture_left,
)
from .forecast import (
    Forecast,
    forecast_end,
)
from .heating import (
    Air,
    Roaster,
    dry_air,
    moving_air_transfer,
    radiation,
    sphere_convection,
    usual_transfer,
)
from .loss import (
    Cannot,
    Loss,
    Weighing,
    split_loss,
    weight_loss,
)
from .profile import (
    Band,
    Kept,
    difference,
    keep_to_band,
)
from .reduction import (
    Reduction,
    reduction_with_range,
)
from .shells import (
    Bodies,
)
from .smoothing import (
    Smoothed,
    smooth,
)
from .turn import (
    Turn,
    turn_of,
)

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
