"""What a recipe may be called, and what would earn it a better name."""

from nibsmith.answers.call_it.earning import Earned, names_earned, nearest_detail, nearest_names
from nibsmith.answers.call_it.naming import call_it, names, places

__all__ = ["Earned", "call_it", "names", "names_earned", "nearest_detail", "nearest_names", "places"]
