"""The arithmetic and physics of the trade: pure functions on numbers, with their sources in tables."""
