from collections.abc import Mapping

from django.apps import AppConfig


class RoastsConfig(AppConfig):
    name = "nibsmith.shop.roasts"
    label = "roasts"
    verbose_name = "Roasts"

    def change_words(self) -> Mapping[str, str]:
        return {
            "roasts.written": "written down",
            "roasts.changed": "filled in or changed",
            "roasts.struck_out": "struck out",
            "roasts.readings_added": "readings added",
            "roasts.reading_added": "one more reading",
            "roasts.readings_settled": "said how its readings are read",
            "roasts.course_added": "added",
            "roasts.course_changed": "changed",
            "roasts.course_put_away": "put away",
            "roasts.course_brought_back": "brought back",
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {
            "roasts.roast": ("roasts:roast", "public_id", "{id}"),
            "roasts.course": ("roasts:course", "public_id", "{id}"),
        }

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.shop.roasts.models import MATTERS, ROASTERS

        return {"roasts.roast.matter": dict(MATTERS), "roasts.roast.roaster": dict(ROASTERS)}
