"""A recipe as a text file: read it, write it."""

from nibsmith.answers.recipe_text.assembly import InBowl, RecipeFile
from nibsmith.answers.recipe_text.labels import label_of, means_a_part, stock_label
from nibsmith.answers.recipe_text.reading import decode_recipe, read_recipe
from nibsmith.answers.recipe_text.workshop import Workshop, known_markets, loss_of_all, mould_of
from nibsmith.answers.recipe_text.writing import write_recipe

__all__ = [
    "InBowl",
    "RecipeFile",
    "Workshop",
    "decode_recipe",
    "known_markets",
    "label_of",
    "loss_of_all",
    "means_a_part",
    "mould_of",
    "read_recipe",
    "stock_label",
    "write_recipe",
]
