from .grid import (
    Posterior,
    posterior,
)
from .normal import (
    normal_quantile,
    normal_share,
)
from .roots import (
    bracketed_root,
)
from .spread import (
    DRAWS,
    Array,
    Distribution,
    LogNormal,
    Triangle,
    Values,
    alone,
    drawn,
    quantile,
    scores,
    variance_shares,
    widest,
)

__all__ = [
    "DRAWS",
    "Array",
    "Distribution",
    "LogNormal",
    "Posterior",
    "Triangle",
    "Values",
    "alone",
    "bracketed_root",
    "drawn",
    "normal_quantile",
    "normal_share",
    "posterior",
    "quantile",
    "scores",
    "variance_shares",
    "widest",
]
