from .amounts import (
    GRAMS_PER_KG,
    Money,
    cost_of,
    exact_grams,
    sum_money,
)
from .currencies import (
    Currency,
    currencies,
    currency,
)

__all__ = [
    "GRAMS_PER_KG",
    "Currency",
    "Money",
    "cost_of",
    "currencies",
    "currency",
    "exact_grams",
    "sum_money",
]
