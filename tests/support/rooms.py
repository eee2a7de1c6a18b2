"""The rooms of the workshop in the order of the navigation, each with its address: one line for each."""

from __future__ import annotations

ROOMS = (
    ("Start", "/"),
    ("Recipes", "/recipes/"),
    ("Batches", "/batches/"),
    ("Roasts", "/roasts/"),
    ("Tools", "/tools/"),
    ("Ingredients", "/stock/"),
    ("Kit", "/kit/"),
    ("Settings", "/settings/"),
    ("History", "/history/"),
)
