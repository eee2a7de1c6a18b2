"""Logs of any logger: text with one row a reading, understood and reported in full."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
