from django.apps import AppConfig


class KitConfig(AppConfig):
    name = "nibsmith.shop.kit"
    label = "kit"
