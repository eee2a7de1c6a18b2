"""The maker's own ingredients, and what they know better about a packaged one."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from nibsmith.shop.common.base import Record
from nibsmith.shop.common.once_named import mark_field, once_in_lists

OWN = "own:"


class OwnIngredient(Record):
    """An ingredient from a supplier's sheet.

    ``constituents`` holds, per 100 g under the column names of the packaged table, each figure as the text of
    a Decimal; one that is not there is unknown. ``allergens_us`` and ``allergens_eu`` say all only where
    ``allergens_known`` does.
    """

    name = models.CharField("name", max_length=120)
    name_mark = mark_field()
    kind = models.CharField("kind", max_length=20)
    stage = models.CharField("stage", max_length=20)
    grind = models.CharField("grind", max_length=20)
    constituents = models.JSONField("in 100 g", default=dict)
    fat_low_g = models.DecimalField("fat, lowest", max_digits=6, decimal_places=3, null=True)
    fat_high_g = models.DecimalField("fat, highest", max_digits=6, decimal_places=3, null=True)
    shell_percent = models.DecimalField("shell", max_digits=6, decimal_places=3, null=True)
    germ_percent = models.DecimalField("germ", max_digits=6, decimal_places=3, null=True)
    allergens_us = models.JSONField("allergens, US list", default=list)
    allergens_eu = models.JSONField("allergens, EU list", default=list)
    allergens_known = models.BooleanField("all its allergens are known", default=False)
    traits = models.JSONField("what it is like", default=list)
    price_per_kg = models.DecimalField("price per kg", max_digits=12, decimal_places=4, null=True)
    supplier = models.CharField("supplier", max_length=120, blank=True)
    note = models.TextField("note", blank=True, max_length=2000)
    based_on = models.CharField("started from", max_length=80, blank=True)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="own_ingredient_has_a_name"),
            once_in_lists("own_ingredient_of_its_name"),
            models.CheckConstraint(
                condition=Q(price_per_kg__isnull=True) | Q(price_per_kg__gte=0),
                name="own_ingredient_price_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(fat_low_g__isnull=True, fat_high_g__isnull=True)
                | Q(fat_low_g__gte=0, fat_high_g__lte=100, fat_low_g__lte=F("fat_high_g")),
                name="own_ingredient_fat_range_has_two_ends",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def key(self) -> str:
        """The key a recipe names it by."""
        return f"{OWN}{self.public_id}"


class IngredientFacts(Record):
    """What the maker knows better about a packaged ingredient: its price, its fat, who sells it."""

    key = models.CharField("ingredient", max_length=80, unique=True)
    price_per_kg = models.DecimalField("price per kg", max_digits=12, decimal_places=4, null=True)
    fat_g = models.DecimalField("fat", max_digits=6, decimal_places=3, null=True)
    supplier = models.CharField("supplier", max_length=120, blank=True)
    note = models.TextField("note", blank=True, max_length=2000)

    class Meta:
        ordering = ("key",)
        constraints = (
            models.CheckConstraint(
                condition=Q(price_per_kg__isnull=True) | Q(price_per_kg__gte=0),
                name="ingredient_price_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(fat_g__isnull=True) | Q(fat_g__gte=0, fat_g__lte=100),
                name="ingredient_fat_is_a_share",
            ),
        )

    def __str__(self) -> str:
        return self.key
