"""Money: a currency and an exact amount, rounded once at the end."""

from nibsmith.science.money.amounts import GRAMS_PER_KG, Money, cost_of, exact_grams, sum_money
from nibsmith.science.money.currencies import Currency, currencies, currency

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
