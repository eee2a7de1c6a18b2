"""Kits: what a machine holds, reaches, keeps back and leaves as water."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
