"""Recipes and their frozen versions."""
