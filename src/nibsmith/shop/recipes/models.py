"""Recipes, their numbered versions, and the parts of each version."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from nibsmith.science.mixture import Form, Grind, Kind, Stage
from nibsmith.shop.common.base import Record


class Recipe(Record):
    """A recipe: a name and a form; what goes in stands in its versions."""

    name = models.CharField("name", max_length=120)
    form = models.CharField("sold as", max_length=20, default=Form.BAR.value)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="recipe_has_a_name"),
            models.CheckConstraint(condition=Q(form__in=[form.value for form in Form]), name="recipe_form"),
        )

    def __str__(self) -> str:
        return self.name


class Way(models.TextChoices):
    """How the maker said how much to make."""

    TOTAL = "total", "a total weight"
    HAVE = "have", "what is on the shelf"
    BARS = "bars", "a number of bars"


class RecipeVersion(Record):
    """One version: shares of parts, and how much of it is made.

    A frozen version never changes; an edit of it makes the next one. ``total_g`` is everything weighed [g];
    ``way`` says what it follows from. ``kit`` and ``mould`` are refs of the kit app, empty for the usual
    ones. ``kept`` holds what a frozen version is made of, as it was known when it was frozen: the facts of
    its ingredients and its mould. ``written_by`` names the page whose edit it was last, so that a page
    knows its own edits from those of another window.
    """

    recipe = models.ForeignKey(Recipe, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField("number")
    made_from = models.ForeignKey("self", on_delete=models.SET_NULL, null=True, related_name="made_into")
    frozen_at = models.DateTimeField("kept as it is since", null=True)
    kept = models.JSONField("what it is made of", null=True)
    written_by = models.CharField("page that wrote it last", max_length=32, blank=True)
    why = models.TextField("why", blank=True, max_length=2000)
    total_g = models.DecimalField("everything weighed", max_digits=12, decimal_places=3)
    way = models.CharField("how much", max_length=5, choices=Way.choices, default=Way.TOTAL)
    have = models.TextField("what is on the shelf", blank=True, max_length=4000)
    bars = models.PositiveIntegerField("bars", null=True)
    kit = models.CharField("kit", max_length=64, blank=True)
    mould = models.CharField("mould", max_length=64, blank=True)

    class Meta:
        ordering = ("recipe", "-number")
        constraints = (
            models.UniqueConstraint(fields=("recipe", "number"), name="version_number_of_a_recipe"),
            models.CheckConstraint(condition=Q(total_g__gt=0), name="version_weighs_something"),
            models.CheckConstraint(
                condition=Q(bars__isnull=True) | Q(bars__gte=1), name="version_makes_a_bar_at_least"
            ),
        )

    def __str__(self) -> str:
        return f"{self.recipe.name}, version {self.number}"

    @property
    def is_frozen(self) -> bool:
        return self.frozen_at is not None


class Mode(models.TextChoices):
    """What the typed amount of a part is a share of."""

    PERCENT = "percent", "% of everything"
    PER_100 = "per_100", "g per 100 g of chocolate"
    PER_BAR = "per_bar", "g per bar"
    REST = "rest", "the rest"


class RecipePart(models.Model):
    """A part of a version: an ingredient by its key, or a version of another recipe.

    ``typed`` is the amount with the digits that were typed, in the unit of ``mode``; the rest has none.
    ``kind``, ``stage`` and ``grind`` are empty where those of the ingredient hold.
    """

    version = models.ForeignKey(RecipeVersion, on_delete=models.CASCADE, related_name="parts")
    order = models.PositiveSmallIntegerField("order")
    label = models.SlugField("label", max_length=60)
    ingredient = models.CharField("ingredient", max_length=80, blank=True)
    sub_version = models.ForeignKey(
        RecipeVersion, on_delete=models.PROTECT, null=True, related_name="used_in"
    )
    mode = models.CharField("counted as", max_length=7, choices=Mode.choices, default=Mode.PERCENT)
    typed = models.CharField("amount as typed", max_length=32, blank=True)
    kind = models.CharField("kind", max_length=20, blank=True)
    stage = models.CharField("stage", max_length=20, blank=True)
    grind = models.CharField("grind", max_length=20, blank=True)
    price_per_kg = models.DecimalField("price per kg", max_digits=12, decimal_places=4, null=True)

    class Meta:
        ordering = ("version", "order")
        constraints = (
            models.UniqueConstraint(fields=("version", "label"), name="label_in_a_version"),
            models.CheckConstraint(
                condition=Q(ingredient="", sub_version__isnull=False)
                | (~Q(ingredient="") & Q(sub_version__isnull=True)),
                name="part_is_an_ingredient_or_a_recipe",
            ),
            models.CheckConstraint(
                condition=Q(mode=Mode.REST, typed="") | (~Q(mode=Mode.REST) & ~Q(typed="")),
                name="part_has_an_amount_or_is_the_rest",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=["", *(kind.value for kind in Kind)]), name="part_kind"
            ),
            models.CheckConstraint(
                condition=Q(stage__in=["", *(stage.value for stage in Stage)]), name="part_stage"
            ),
            models.CheckConstraint(
                condition=Q(grind__in=["", *(grind.value for grind in Grind)]), name="part_grind"
            ),
            models.CheckConstraint(
                condition=Q(price_per_kg__isnull=True) | Q(price_per_kg__gte=0), name="part_price"
            ),
        )

    def __str__(self) -> str:
        return self.label
