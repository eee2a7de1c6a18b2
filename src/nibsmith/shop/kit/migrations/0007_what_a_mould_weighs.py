"""What a mould weighs with nothing in it."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("kit", "0006_decimals_as_typed")]

    operations = [
        migrations.AddField(
            model_name="mould",
            name="empty_g",
            field=models.DecimalField(decimal_places=3, max_digits=8, null=True, verbose_name="an empty one"),
        ),
    ]
