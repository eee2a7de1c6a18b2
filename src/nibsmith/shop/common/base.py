"""What every record has: a name that never changes, when it was made and when it was last written."""

from __future__ import annotations

import uuid

from django.db import models


class Record(models.Model):
    """The base of the maker's records.

    ``public_id`` is what addresses, files and other programs use; the row number stays inside.
    """

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        abstract = True
