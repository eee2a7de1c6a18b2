"""Names that stand in the lists twice are told apart by a number; from now on the database keeps them so."""

from __future__ import annotations

from typing import Any

from django.db import migrations, models

from nibsmith.shop.common.once_named import tell_apart


def by_number(apps: Any, schema_editor: Any) -> None:
    for name in (
        "OwnKit",
        "Mould",
        "Fridge",
        "Probe",
    ):
        tell_apart(apps.get_model("kit", name).objects.using(schema_editor.connection.alias))


class Migration(migrations.Migration):
    dependencies = [("kit", "0004_what_is_lost_besides")]

    operations = [
        migrations.AddField(
            model_name="ownkit",
            name="name_mark",
            field=models.CharField(
                default="", editable=False, max_length=64, verbose_name="what tells its name from others"
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="mould",
            name="name_mark",
            field=models.CharField(
                default="", editable=False, max_length=64, verbose_name="what tells its name from others"
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="fridge",
            name="name_mark",
            field=models.CharField(
                default="", editable=False, max_length=64, verbose_name="what tells its name from others"
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="probe",
            name="name_mark",
            field=models.CharField(
                default="", editable=False, max_length=64, verbose_name="what tells its name from others"
            ),
            preserve_default=False,
        ),
        migrations.RunPython(by_number, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="ownkit",
            constraint=models.UniqueConstraint(
                condition=models.Q(("retired_at__isnull", True)),
                fields=("name_mark",),
                name="own_kit_of_its_name",
            ),
        ),
        migrations.AddConstraint(
            model_name="mould",
            constraint=models.UniqueConstraint(
                condition=models.Q(("retired_at__isnull", True)),
                fields=("name_mark",),
                name="mould_of_its_name",
            ),
        ),
        migrations.AddConstraint(
            model_name="fridge",
            constraint=models.UniqueConstraint(
                condition=models.Q(("retired_at__isnull", True)),
                fields=("name_mark",),
                name="fridge_of_its_name",
            ),
        ),
        migrations.AddConstraint(
            model_name="probe",
            constraint=models.UniqueConstraint(
                condition=models.Q(("retired_at__isnull", True)),
                fields=("name_mark",),
                name="probe_of_its_name",
            ),
        ),
    ]
