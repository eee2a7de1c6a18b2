from collections.abc import Mapping

from django.apps import AppConfig


class KitConfig(AppConfig):
    name = "nibsmith.shop.kit"
    label = "kit"
    verbose_name = "Kits and moulds"

    def change_words(self) -> Mapping[str, str]:
        return {
            "kit.kit_added": "added",
            "kit.kit_changed": "changed",
            "kit.kit_put_away": "put away",
            "kit.kit_brought_back": "brought back",
            "kit.mould_added": "added",
            "kit.mould_changed": "changed",
            "kit.mould_put_away": "put away",
            "kit.mould_brought_back": "brought back",
            "kit.fridge_added": "added",
            "kit.fridge_changed": "changed",
            "kit.fridge_put_away": "put away",
            "kit.fridge_brought_back": "brought back",
            "kit.probe_added": "added",
            "kit.probe_changed": "changed",
            "kit.probe_put_away": "put away",
            "kit.probe_brought_back": "brought back",
            "kit.calibrated": "calibrated anew",
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {
            "kit.ownkit": ("kit:kit", "ref", "own:{id}"),
            "kit.mould": ("kit:mould", "ref", "{id}"),
            "kit.fridge": ("kit:fridge", "ref", "{id}"),
            "kit.probe": ("kit:probe", "ref", "{id}"),
            "kit.calibration": ("kit:calibration", "public_id", "{id}"),
        }

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.science.kit import kits
        from nibsmith.shop.kit.models import CUP, Air, Measures

        kinds = {key: thing.name for key, thing in kits().items()}
        return {
            "kit.ownkit.based_on": kinds,
            "kit.calibration.kit": {**kinds, CUP: "the cooling cup"},
            "kit.fridge.air": dict(Air.choices),
            "kit.probe.measures": dict(Measures.choices),
        }
