from .allergens import (
    AllergenGroup,
    AllergenList,
    Allergens,
    Found,
    allergen_list,
    allergen_lists,
    allergens,
)
from .cautions import (
    Caution,
    Where,
    cautions,
)
from .notes import (
    AllergenNote,
    allergen_notes,
)

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
