"""Whether a recipe keeps, and what makes it keep."""

from nibsmith.answers.keep.keeping import keep

__all__ = ["keep"]
