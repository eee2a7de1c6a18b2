"""Roasting: the curve and its rate, the loss, the heat, and the inside of a bean.

Reading a logger's file is in ``roast.log``, reading typed points in ``roast.typed``.
"""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
