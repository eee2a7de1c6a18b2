"""Formulation: scaling, stock, what is in the bowl, balance, rescue, rounding to the scale, typed shares.

Nothing here imports numpy or the solver until a balance is asked for.
"""

from nibsmith.science.formulate.balancing import Balancer, balance, balance_on_scale
from nibsmith.science.formulate.batch import (
    NO_LOSS,
    Batch,
    MachineLoss,
    batch_for_bars,
    batch_for_total,
    batch_of,
    fold_in_for,
    leaving_share,
)
from nibsmith.science.formulate.goal import (
    KEEP,
    Goal,
    Objective,
    cost_limit,
    lock,
    mass_limit,
    share_limit,
    total_limit,
)
from nibsmith.science.formulate.inclusion import (
    InclusionEntry,
    InclusionShare,
    InclusionUnit,
    inclusion_beside,
    inclusion_shares,
    inclusions_of,
    with_inclusions,
)
from nibsmith.science.formulate.rescuing import (
    Bench,
    Rescue,
    Tolerance,
    can_go_in,
    rescue,
    rescue_limits,
    usual_tolerance,
)
from nibsmith.science.formulate.rounding import (
    Premix,
    Rounded,
    SmallDose,
    broken_limits,
    round_to_scale,
    small_doses,
    with_margin,
)
from nibsmith.science.formulate.scaling import scale_to_on_hand, scale_to_total
from nibsmith.science.formulate.sharing import Claim, Portion, SharedStock, Split, share_out
from nibsmith.science.formulate.shelf import LargestBatch, largest_batch, share_of_stock
from nibsmith.science.formulate.solution import Clash, Conflict, Impossible, Solution
from nibsmith.science.formulate.two_truths import (
    Bowl,
    FigureChange,
    WayOut,
    bowl_recipe,
    figure_changes,
    in_the_bowl,
)
from nibsmith.science.formulate.typed_shares import REST, Rest, TypedShares, from_ratio, from_shares

__all__ = [
    "KEEP",
    "NO_LOSS",
    "REST",
    "Balancer",
    "Batch",
    "Bench",
    "Bowl",
    "Claim",
    "Clash",
    "Conflict",
    "FigureChange",
    "Goal",
    "Impossible",
    "InclusionEntry",
    "InclusionShare",
    "InclusionUnit",
    "LargestBatch",
    "MachineLoss",
    "Objective",
    "Portion",
    "Premix",
    "Rescue",
    "Rest",
    "Rounded",
    "SharedStock",
    "SmallDose",
    "Solution",
    "Split",
    "Tolerance",
    "TypedShares",
    "WayOut",
    "balance",
    "balance_on_scale",
    "batch_for_bars",
    "batch_for_total",
    "batch_of",
    "bowl_recipe",
    "broken_limits",
    "can_go_in",
    "cost_limit",
    "figure_changes",
    "fold_in_for",
    "from_ratio",
    "from_shares",
    "in_the_bowl",
    "inclusion_beside",
    "inclusion_shares",
    "inclusions_of",
    "largest_batch",
    "leaving_share",
    "lock",
    "mass_limit",
    "rescue",
    "rescue_limits",
    "round_to_scale",
    "scale_to_on_hand",
    "scale_to_total",
    "share_limit",
    "share_of_stock",
    "share_out",
    "small_doses",
    "total_limit",
    "usual_tolerance",
    "with_inclusions",
    "with_margin",
]
