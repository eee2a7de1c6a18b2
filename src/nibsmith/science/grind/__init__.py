"""Sizes of grains and how grinding changes them: distributions, speed, breakage, energy, heat, drying."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
