"""Who must not eat a thing, and the usual cautions that go with it."""

from nibsmith.science.label.allergens import (
    AllergenGroup,
    AllergenList,
    Allergens,
    Found,
    allergen_list,
    allergen_lists,
    allergens,
)
from nibsmith.science.label.cautions import Caution, Where, cautions
from nibsmith.science.label.notes import AllergenNote, allergen_notes

__all__ = [
    "AllergenGroup",
    "AllergenList",
    "AllergenNote",
    "Allergens",
    "Caution",
    "Found",
    "Where",
    "allergen_list",
    "allergen_lists",
    "allergen_notes",
    "allergens",
    "cautions",
]
