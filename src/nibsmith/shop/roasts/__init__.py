"""Roasts: weights before and after, readings by hand or by a logger, and how far the heat went."""
