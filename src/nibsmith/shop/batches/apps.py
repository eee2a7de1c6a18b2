from collections.abc import Mapping

from django.apps import AppConfig


class BatchesConfig(AppConfig):
    name = "nibsmith.shop.batches"
    label = "batches"
    verbose_name = "Batches"

    def change_words(self) -> Mapping[str, str]:
        return {
            "batches.begun": "begun",
            "batches.described": "note changed",
            "batches.purpose_changed": "poured for something else, or to be of another smoothness",
            "batches.weighed": "something weighed in",
            "batches.size_read": "size read",
            "batches.flow_read": "flow seen",
            "batches.weighed_out": "what came out weighed",
            "batches.folded_in": "something folded in",
            "batches.curve_taken": "cooling curve taken",
            "batches.corrected": "an entry corrected",
            "batches.struck_out": "an entry struck out",
            "batches.session_begun": "a session begun",
            "batches.session_changed": "a session filled in or changed",
            "batches.session_struck_out": "a session struck out",
        }

    def change_values(self) -> Mapping[str, Mapping[str, str]]:
        from nibsmith.shop.batches.models import AIMS, MARKS, USES, Method

        return {
            "batches.batch.use": dict(USES),
            "batches.batch.aim": dict(AIMS),
            "batches.batch.method": dict(Method.choices),
            "batches.batch.mark": dict(MARKS),
        }

    def change_addresses(self) -> Mapping[str, tuple[str, str, str]]:
        return {"batches.batch": ("batches:batch", "public_id", "{id}")}
