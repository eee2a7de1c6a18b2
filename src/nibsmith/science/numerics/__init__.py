"""Arithmetic that several subjects share: roots, draws of what varies, densities on a grid."""

from nibsmith.science.numerics.grid import Posterior, posterior
from nibsmith.science.numerics.normal import normal_quantile, normal_share
from nibsmith.science.numerics.roots import bracketed_root
from nibsmith.science.numerics.spread import (
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
