"""Whether a mass sets and snaps, at which temperatures it is worked, and what its crystals do meanwhile."""

from lazy_loader import attach_stub

__getattr__, __dir__, __all__ = attach_stub(__name__, __file__)
