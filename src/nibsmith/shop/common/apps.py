from django.apps import AppConfig


class CommonConfig(AppConfig):
    name = "nibsmith.shop.common"
    label = "common"
    verbose_name = "Common"

    def ready(self) -> None:
        from nibsmith.shop.config import checks

        checks.register_checks()
