"""Names that stand in the lists twice are told apart by a number; from now on the database keeps them so."""

from __future__ import annotations

from typing import Any

from django.db import migrations, models

from nibsmith.shop.common.once_named import tell_apart


def by_number(apps: Any, schema_editor: Any) -> None:
    for name in ("OwnIngredient",):
        tell_apart(apps.get_model("stock", name).objects.using(schema_editor.connection.alias))


class Migration(migrations.Migration):
    dependencies = [("stock", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="owningredient",
            name="name_mark",
            field=models.CharField(
                default="", editable=False, max_length=64, verbose_name="what tells its name from others"
            ),
            preserve_default=False,
        ),
        migrations.RunPython(by_number, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="owningredient",
            constraint=models.UniqueConstraint(
                condition=models.Q(("retired_at__isnull", True)),
                fields=("name_mark",),
                name="own_ingredient_of_its_name",
            ),
        ),
    ]
