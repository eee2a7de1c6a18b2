"""What all tests share."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# Playwright keeps an event loop in the thread of the test, which also talks to the database.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

# The normal run draws the same examples every time; NIBSMITH_LONG=1 draws many more, and new ones.
settings.register_profile("normal", deadline=None, derandomize=True, max_examples=100)
settings.register_profile(
    "long",
    deadline=None,
    max_examples=5000,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("long" if os.environ.get("NIBSMITH_LONG") == "1" else "normal")
