"""The maker's own machines and moulds."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from nibsmith.shop.common.base import Record

OWN = "own:"


class OwnKit(Record):
    """A machine of the maker's: a packaged kit with some figures of their own.

    A figure that is empty is that of ``based_on``. The residue is what stays behind of a usual batch.
    """

    name = models.CharField("name", max_length=120)
    based_on = models.CharField("a kind of", max_length=40)
    charge_min_g = models.DecimalField("smallest charge", max_digits=9, decimal_places=2, null=True)
    charge_max_g = models.DecimalField("largest charge", max_digits=9, decimal_places=2, null=True)
    residue_g = models.DecimalField("stays behind", max_digits=9, decimal_places=2, null=True)
    end_water_percent = models.DecimalField("end water", max_digits=5, decimal_places=3, null=True)
    ceiling_celsius = models.DecimalField("not hotter than", max_digits=5, decimal_places=2, null=True)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="own_kit_has_a_name"),
            models.CheckConstraint(
                condition=Q(charge_min_g__isnull=True)
                | Q(charge_max_g__isnull=True)
                | Q(charge_min_g__lte=F("charge_max_g")),
                name="own_kit_charge_in_order",
            ),
            models.CheckConstraint(
                condition=Q(residue_g__isnull=True) | Q(residue_g__gte=0), name="own_kit_residue_not_negative"
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a recipe or the settings name it by."""
        return f"{OWN}{self.public_id}"


class Mould(Record):
    """A mould: what one cavity holds, and how many cavities it has."""

    name = models.CharField("name", max_length=120)
    cavity_g = models.DecimalField("one cavity", max_digits=8, decimal_places=3)
    cavities = models.PositiveSmallIntegerField("cavities", default=1)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="mould_has_a_name"),
            models.CheckConstraint(condition=Q(cavity_g__gt=0), name="mould_cavity_holds_something"),
            models.CheckConstraint(condition=Q(cavities__gte=1), name="mould_has_a_cavity"),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a recipe or the settings name it by."""
        return str(self.public_id)
