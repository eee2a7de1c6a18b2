"""Money: a currency and an exact amount, rounded once at the end."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
