"""The database is made by migrations that know every model."""

from __future__ import annotations

import io

import pytest
from django.core.management import call_command

pytestmark = pytest.mark.django_db


def test_no_model_has_changed_without_its_migration() -> None:
    out = io.StringIO()

    call_command("makemigrations", check=True, dry_run=True, stdout=out)

    assert "No changes detected" in out.getvalue()
