"""One row: how this workshop weighs, counts and sells."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import Q

from nibsmith.answers.context import DEFAULT_MARKETS
from nibsmith.shop.common.base import Record


def default_markets() -> list[str]:
    return list(DEFAULT_MARKETS)


class Workshop(Record):
    """The settings of the workshop; there is never more than one row.

    ``decimal_sign`` is empty where none is chosen: then a number that can be read two ways is asked about.
    ``bean_yield`` is the share of nibs from raw beans, 0 to 1. ``default_kit`` and ``default_mould`` are refs
    of the kit app.
    """

    only = models.BooleanField(default=True, unique=True, editable=False)
    name = models.CharField("name of the workshop", max_length=120, blank=True)
    decimal_sign = models.CharField("decimal sign", max_length=1, blank=True)
    mass_unit = models.CharField("weights in", max_length=2, default="g")
    temperature_unit = models.CharField("temperatures in", max_length=1, default="C")
    scale_g = models.DecimalField("scale reads", max_digits=8, decimal_places=3, default=Decimal(1))
    currency = models.CharField("currency", max_length=3, default="EUR")
    markets = models.JSONField("markets", default=default_markets)
    memory_rules = models.BooleanField("rules known from memory only", default=False)
    uses_lecithin = models.BooleanField("uses lecithin", default=False)
    default_kit = models.CharField("usual kit", max_length=64, blank=True)
    default_mould = models.CharField("usual mould", max_length=64, blank=True)
    bean_yield = models.DecimalField("nibs from raw beans", max_digits=6, decimal_places=5, null=True)
    paper = models.CharField("paper", max_length=6, default="A4")

    class Meta:
        constraints = (
            models.CheckConstraint(condition=Q(only=True), name="workshop_is_one_row"),
            models.CheckConstraint(
                condition=Q(decimal_sign__in=("", ".", ",")), name="workshop_decimal_sign"
            ),
            models.CheckConstraint(condition=Q(mass_unit__in=("g", "oz")), name="workshop_mass_unit"),
            models.CheckConstraint(
                condition=Q(temperature_unit__in=("C", "F")), name="workshop_temperature_unit"
            ),
            models.CheckConstraint(condition=Q(scale_g__gt=0), name="workshop_scale_reads_something"),
            models.CheckConstraint(condition=Q(paper__in=("A4", "letter")), name="workshop_paper"),
            models.CheckConstraint(
                condition=Q(bean_yield__isnull=True) | Q(bean_yield__gt=0, bean_yield__lte=1),
                name="workshop_bean_yield_is_a_share",
            ),
        )

    def __str__(self) -> str:
        return self.name or "the workshop"
