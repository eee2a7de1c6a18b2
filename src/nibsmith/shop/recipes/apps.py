from django.apps import AppConfig


class RecipesConfig(AppConfig):
    name = "nibsmith.shop.recipes"
    label = "recipes"
