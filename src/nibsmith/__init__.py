"""Nibsmith: the workshop reckoner for people who make chocolate from the bean in small batches."""

__version__ = "0.1.0"
