from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "nibsmith.shop.stock"
    label = "stock"
