"""Batches of before were answered by what their recipe is sold as: it is written down with each."""

from __future__ import annotations

from typing import Any

from django.db import migrations

_SHELLS = ("filled", "praline")


def by_form(apps: Any, schema_editor: Any) -> None:
    batches = apps.get_model("batches", "Batch").objects.using(schema_editor.connection.alias)
    batches.filter(version__recipe__form__in=_SHELLS).update(use="thin_shells")


class Migration(migrations.Migration):
    dependencies = [("batches", "0002_what_a_mass_is_for")]

    operations = [migrations.RunPython(by_form, migrations.RunPython.noop)]
