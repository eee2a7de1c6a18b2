from .breakage import (
    Breakage,
    grind,
)
from .breakage_fit import (
    BreakageFit,
    FinerReading,
    fit_breakage,
)
from .conching import (
    Leaving,
    leaving_from_two_readings,
)
from .diffraction import (
    SizeTable,
    read_size_table,
)
from .energy import (
    bond,
    kick,
    rittinger,
)
from .heat import (
    WarmUp,
    friction_rise,
)
from .kinetics import (
    Grinding,
    grinding_from_two_readings,
    oversize,
)
from .micrometer import (
    SizeReading,
    reading_deviation,
)
from .mouthfeel import (
    Aim,
    Feels,
    feels,
    largest_for,
    told_apart,
)
from .readings import (
    GrindFit,
    fit_readings,
)
from .sizes import (
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
from .speed import (
    KitSpeed,
    calibrate_speed,
    usual_speed,
)

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
