from collections.abc import Mapping

from django.apps import AppConfig


class CommonConfig(AppConfig):
    name = "nibsmith.shop.common"
    label = "common"
    verbose_name = "Common"

    def ready(self) -> None:
        from nibsmith.shop.config import checks

        checks.register_checks()

    def change_words(self) -> Mapping[str, str]:
        return {"common.settings_changed": "settings changed"}

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.science.legal import jurisdictions
        from nibsmith.shop.common.workshop import words

        return {
            "common.workshop.decimal_sign": words.DECIMAL_SIGNS,
            "common.workshop.mass_unit": words.MASS_UNITS,
            "common.workshop.temperature_unit": words.TEMPERATURE_UNITS,
            "common.workshop.paper": words.PAPERS,
            "common.workshop.markets": jurisdictions(),
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {"common.workshop": ("common:settings", "", "")}
