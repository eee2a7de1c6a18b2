from collections.abc import Mapping

from django.apps import AppConfig


class RecipesConfig(AppConfig):
    name = "nibsmith.shop.recipes"
    label = "recipes"
    verbose_name = "Recipes"

    def change_words(self) -> Mapping[str, str]:
        return {
            "recipes.made": "made",
            "recipes.edited": "changed",
            "recipes.version_made": "a new version made",
            "recipes.kept": "kept as it is",
            "recipes.copied": "begun from another recipe",
            "recipes.described": "name, form or note changed",
            "recipes.put_away": "put away",
            "recipes.brought_back": "brought back",
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {"recipes.recipe": ("recipes:recipe", "public_id", "{id}")}

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.shop.recipes.words import FORMS

        return {"recipes.recipe.form": FORMS}
