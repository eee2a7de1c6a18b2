"""Arithmetic that several subjects share: roots, draws of what varies, densities on a grid."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
