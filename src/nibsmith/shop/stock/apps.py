from collections.abc import Mapping

from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "nibsmith.shop.stock"
    label = "stock"
    verbose_name = "Ingredients"

    def change_words(self) -> Mapping[str, str]:
        return {
            "stock.ingredient_added": "added",
            "stock.ingredient_changed": "sheet corrected",
            "stock.ingredient_put_away": "put away",
            "stock.ingredient_brought_back": "brought back",
            "stock.facts_set": "price, fat or supplier set",
            "stock.facts_changed": "price, fat or supplier changed",
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {
            "stock.owningredient": ("stock:ingredient", "key", "own:{id}"),
            "stock.ingredientfacts": ("stock:ingredient", "key", "{name}"),
        }

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.science.mixture import ingredients
        from nibsmith.shop.stock import words

        names = {key: thing.name for key, thing in ingredients().items()}
        return {
            "stock.owningredient.kind": words.KINDS,
            "stock.owningredient.stage": words.STAGES,
            "stock.owningredient.grind": words.GRINDS,
            "stock.owningredient.constituents": words.COLUMN_NAMES,
            "stock.owningredient.allergens_us": words.allergen_words("us"),
            "stock.owningredient.allergens_eu": words.allergen_words("eu"),
            "stock.owningredient.traits": words.TRAITS,
            "stock.owningredient.based_on": names,
            "stock.ingredientfacts.key": names,
        }
