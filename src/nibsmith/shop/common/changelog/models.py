"""One entry of the change log."""

from __future__ import annotations

from typing import Any, ClassVar, NoReturn

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from nibsmith.science.errors import NibsmithError


class ChangeLogIsAppendOnly(NibsmithError):
    """Something tried to alter or remove an entry of the change log."""

    def __init__(self) -> None:
        super().__init__("An entry of the change log cannot be altered or removed", advice="Add a new entry.")


class AppendOnly(models.QuerySet["ChangeEntry"]):
    """Rows that are only ever added, also by whole sets."""

    def update(self, **kwargs: Any) -> NoReturn:
        raise ChangeLogIsAppendOnly

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise ChangeLogIsAppendOnly

    def delete(self) -> NoReturn:
        raise ChangeLogIsAppendOnly

    def _raw_delete(self, using: str | None) -> NoReturn:
        raise ChangeLogIsAppendOnly


class ChangeEntry(models.Model):
    """One change: when, who, what, to which record, from what to what, and why."""

    at = models.DateTimeField(auto_now_add=True, db_index=True)
    who = models.CharField(max_length=100)
    what = models.CharField(max_length=100)
    object_type = models.CharField(max_length=100)
    object_id = models.CharField(max_length=64)
    before = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    after = models.JSONField(null=True, encoder=DjangoJSONEncoder)
    why = models.TextField(blank=True)

    objects: ClassVar[models.Manager[ChangeEntry]] = AppendOnly.as_manager()

    class Meta:
        ordering = ("-pk",)
        indexes = (models.Index(fields=("object_type", "object_id"), name="change_of_one_object"),)
        base_manager_name = "objects"

    def __str__(self) -> str:
        return f"{self.what} {self.object_type} {self.object_id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise ChangeLogIsAppendOnly
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise ChangeLogIsAppendOnly
