"""A recipe as a text file: read it, write it."""

from nibsmith.answers.recipe_text.assembly import RecipeFile
from nibsmith.answers.recipe_text.labels import label_of
from nibsmith.answers.recipe_text.reading import decode_recipe, read_recipe
from nibsmith.answers.recipe_text.workshop import Workshop, mould_of
from nibsmith.answers.recipe_text.writing import write_recipe

__all__ = ["RecipeFile", "Workshop", "decode_recipe", "label_of", "mould_of", "read_recipe", "write_recipe"]
