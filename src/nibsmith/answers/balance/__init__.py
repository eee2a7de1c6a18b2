"""Balance a recipe to what a maker wishes of it."""

from nibsmith.answers.balance.balancing import balance, keeps_all
from nibsmith.answers.balance.limits import limits_of
from nibsmith.answers.balance.result import Balanced, Held, PartChange
from nibsmith.answers.balance.wishes import OTHER_KEYS, Between, PropertyWish, Wishes, wishes_from

__all__ = [
    "OTHER_KEYS",
    "Balanced",
    "Between",
    "Held",
    "PartChange",
    "PropertyWish",
    "Wishes",
    "balance",
    "keeps_all",
    "limits_of",
    "wishes_from",
]
