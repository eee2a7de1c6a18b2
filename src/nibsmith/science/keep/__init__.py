"""What shortens the life of a chocolate: water in the mass, and wet or raw inclusions."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
