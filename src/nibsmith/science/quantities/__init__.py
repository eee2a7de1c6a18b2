"""Kitchen quantities: what a person types, read once and exactly, and written back to the step of a scale."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
