from .air import (
    Gas,
    Wind,
    cool_air,
    plate_coefficient,
    radiation_coefficient,
    through_wall,
    usual_coefficient,
)
from .bar import (
    Bar,
    Faces,
    Slab,
    each,
    usual_slab,
)
from .course import (
    Course,
)
from .damp import (
    dew_point,
    safe_surface,
    surface_humidity,
    vapour_pressure,
)
from .front import (
    front_constant,
    front_depth,
)
from .load import (
    FridgeLoad,
    Moulds,
    fridge_load,
)
from .many import (
    cool_many,
    cool_until,
)
from .one import (
    cool_bar,
)
from .release import (
    Release,
    Waiting,
    contraction,
    released,
)
from .series import (
    Mode,
    Shape,
    excess_left,
    lumped_left,
    modes,
)

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
