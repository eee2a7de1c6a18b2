"""The forms that were sent and written, so that none is written again."""

from __future__ import annotations

from django.db import models


class SentForm(models.Model):
    """A form that was written: its mark, the page it led to, and what was told on the way there.

    The mark is of the page's one-time value and of everything that was typed, so that a form which is gone
    back to and filled in anew is another one. ``told`` are pairs of a level and a text.
    """

    mark = models.CharField(max_length=64, unique=True)
    led_to = models.TextField()
    told = models.JSONField(default=list)
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return self.mark
