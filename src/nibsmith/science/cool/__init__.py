"""How bars cool and set, when they come off the mould, and what the air of a room does to them."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
