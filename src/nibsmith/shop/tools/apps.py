from django.apps import AppConfig


class ToolsConfig(AppConfig):
    name = "nibsmith.shop.tools"
    label = "tools"
    verbose_name = "Tools"
