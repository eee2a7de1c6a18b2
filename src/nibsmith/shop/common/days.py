"""Days as people name them: the program counts in UTC, and somewhere it is tomorrow already."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils import timezone

FURTHEST_AHEAD = timedelta(hours=14)  # of UTC, where people live


def today() -> date:
    """Return the day it is."""
    return timezone.now().date()


def latest_today() -> date:
    """Return the latest day that it is anywhere now; a later one is of the future."""
    return (timezone.now() + FURTHEST_AHEAD).date()
