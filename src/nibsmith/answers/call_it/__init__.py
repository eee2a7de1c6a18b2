"""What a recipe may be called, and what would earn it a better name."""

from nibsmith.answers.call_it.naming import call_it, names, places

__all__ = ["call_it", "names", "places"]
