from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("kit", "0005_names_stand_once")]

    operations = [
        migrations.AddField(
            model_name="ownkit",
            name="decimals",
            field=models.JSONField(default=dict, editable=False, verbose_name="decimals as typed"),
        ),
    ]
