from .declaration import (
    declared_cocoa,
)
from .gate import (
    Gate,
)
from .items import (
    other_edible,
)
from .judge import (
    judge,
    judge_all,
    judge_name,
)
from .laws import (
    Bound,
    NameClass,
    classes,
    jurisdictions,
    reservation,
)
from .nearest import (
    Move,
    smallest_change,
)
from .raw import (
    judge_ingredient,
    nib_rules,
)
from .requirements import (
    gates,
    requirements,
)
from .verdict import (
    Allowed,
    Lack,
    NameVerdict,
)

__all__ = [
    "Allowed",
    "Bound",
    "Gate",
    "Lack",
    "Move",
    "NameClass",
    "NameVerdict",
    "classes",
    "declared_cocoa",
    "gates",
    "judge",
    "judge_all",
    "judge_ingredient",
    "judge_name",
    "jurisdictions",
    "nib_rules",
    "other_edible",
    "requirements",
    "reservation",
    "smallest_change",
]
