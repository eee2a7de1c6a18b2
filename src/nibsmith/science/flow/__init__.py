"""How a mass flows: from its fat, its grains, its water and its temperature, by an estimate."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
