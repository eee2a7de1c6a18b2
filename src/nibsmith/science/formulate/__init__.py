"""Formulation: scaling, stock, what is in the bowl, balance, rescue, rounding to the scale, typed shares.

Nothing here imports numpy or the solver until a balance is asked for.
"""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
