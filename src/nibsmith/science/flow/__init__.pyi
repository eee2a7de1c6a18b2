from .calibration import (
    Calibration,
    calibrate,
    of_one_mass,
)
from .casson import (
    Casson,
    CassonFit,
    casson_from_two_points,
    fit_casson,
)
from .density import (
    constituent_density,
    food_density,
)
from .herschel_bulkley import (
    HerschelBulkley,
    fit_herschel_bulkley,
)
from .inverse import (
    butter_needed,
    crowding_allowed,
    fat_needed,
    flow_limit,
)
from .matter import (
    FlowMatter,
    flow_matter,
)
from .model import (
    Conditions,
    Flow,
    check_range,
    flow,
    locked_nib_butter,
)
from .readings import (
    CupReading,
    Reading,
    RingReading,
    ViscometerReading,
    WordReading,
    cup_viscosity,
    film_thickness,
    ring_yield,
)
from .suspension import (
    casson_yield,
    crowding,
    equivalent_fat,
    liquid_fat_viscosity,
    locked_in_mass,
    locked_share,
    plastic_viscosity,
    solids_by_volume,
    specific_surface,
)
from .uses import (
    Feel,
    Use,
    UseLimits,
    limits_of,
)

__all__ = [
    "Calibration",
    "Casson",
    "CassonFit",
    "Conditions",
    "CupReading",
    "Feel",
    "Flow",
    "FlowMatter",
    "HerschelBulkley",
    "Reading",
    "RingReading",
    "Use",
    "UseLimits",
    "ViscometerReading",
    "WordReading",
    "butter_needed",
    "calibrate",
    "casson_from_two_points",
    "casson_yield",
    "check_range",
    "constituent_density",
    "crowding",
    "crowding_allowed",
    "cup_viscosity",
    "equivalent_fat",
    "fat_needed",
    "film_thickness",
    "fit_casson",
    "fit_herschel_bulkley",
    "flow",
    "flow_limit",
    "flow_matter",
    "food_density",
    "limits_of",
    "liquid_fat_viscosity",
    "locked_in_mass",
    "locked_nib_butter",
    "locked_share",
    "of_one_mass",
    "plastic_viscosity",
    "ring_yield",
    "solids_by_volume",
    "specific_surface",
]
