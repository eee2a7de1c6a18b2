"""Ingredients, the parts of a recipe, and what they come to."""

from nibsmith.science.mixture.composition import COLUMNS, at_fat, check_composition, least_solids
from nibsmith.science.mixture.figure import BASIS_WORDS, Basis, Figure, Span, as_span
from nibsmith.science.mixture.ingredients import (
    finished_chocolates,
    ingredient,
    ingredients,
    own_ingredient,
    part,
)
from nibsmith.science.mixture.limits import STRICT_STEP, Limit, Row, property_limit, row_of
from nibsmith.science.mixture.mix import Mixture, as_weighed, finished, in_machine, product
from nibsmith.science.mixture.parts import (
    COCOA_KINDS,
    MACHINE_STAGES,
    Composition,
    Form,
    Grind,
    Ingredient,
    Kind,
    Leaf,
    Part,
    Recipe,
    Stage,
)
from nibsmith.science.mixture.properties import PROPERTIES, Property, brought_by

__all__ = [
    "BASIS_WORDS",
    "COCOA_KINDS",
    "COLUMNS",
    "MACHINE_STAGES",
    "PROPERTIES",
    "STRICT_STEP",
    "Basis",
    "Composition",
    "Figure",
    "Form",
    "Grind",
    "Ingredient",
    "Kind",
    "Leaf",
    "Limit",
    "Mixture",
    "Part",
    "Property",
    "Recipe",
    "Row",
    "Span",
    "Stage",
    "as_span",
    "as_weighed",
    "at_fat",
    "brought_by",
    "check_composition",
    "finished",
    "finished_chocolates",
    "in_machine",
    "ingredient",
    "ingredients",
    "least_solids",
    "own_ingredient",
    "part",
    "product",
    "property_limit",
    "row_of",
]
