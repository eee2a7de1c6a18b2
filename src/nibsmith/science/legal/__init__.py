"""What a product may be called: laws as data, judged on a recipe."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
