"""A roast, the readings taken of it, and wanted courses."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from nibsmith.science.roast import Matter, Roaster, Role
from nibsmith.shop.common.base import Record

MATTERS = ((Matter.BEANS.value, "whole beans"), (Matter.NIBS.value, "nibs"))
ROASTERS = (
    (Roaster.STILL_OVEN.value, "an oven"),
    (Roaster.FAN_OVEN.value, "an oven with a fan"),
    (Roaster.DRUM.value, "a drum"),
    (Roaster.HOT_AIR.value, "hot air"),
)
ROLES = (
    (Role.BEAN.value, "in the beans"),
    (Role.AIR.value, "in the air"),
    (Role.SETTING.value, "only set, on a dial"),
)


def _figure(words: str) -> models.DecimalField[Decimal | None, Decimal | None]:
    """A figure of a study, where there is one."""
    return models.DecimalField(words, max_digits=9, decimal_places=3, null=True)


class Course(Record):
    """A wanted course of a roast, typed, and how far a roast may be off either side of it [K]."""

    name = models.CharField("name", max_length=120)
    typed = models.TextField("points as typed", max_length=4000)
    tolerance_k = models.DecimalField("may be off by", max_digits=4, decimal_places=1)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="course_has_a_name"),
            models.CheckConstraint(condition=Q(tolerance_k__gt=0), name="course_is_a_band"),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a roast names it by."""
        return str(self.public_id)


class Roast(Record):
    """One roast. ``number`` counts the roasts of the workshop.

    ``beans`` are in words; ``ingredient`` is their key where they are an ingredient of the workshop. A figure
    that is empty may be filled in later; one that stands is changed only for a reason. ``survivors`` are the
    figures of a survivor line that a ``study`` of the maker's own found [min, °C, 1, K, °C, °C]. One that is
    ``struck`` never was.
    """

    number = models.PositiveIntegerField("number", unique=True)
    beans = models.CharField("beans", max_length=200)
    ingredient = models.CharField("ingredient", max_length=80, blank=True)
    matter = models.CharField("roasted as", max_length=5, choices=MATTERS, default=Matter.BEANS.value)
    roasted_on = models.DateField("roasted on")
    charge_g = models.DecimalField("weight before", max_digits=12, decimal_places=3, null=True)
    end_g = models.DecimalField("weight after", max_digits=12, decimal_places=3, null=True)
    water_before_percent = models.DecimalField("water before", max_digits=5, decimal_places=3, null=True)
    water_after_percent = models.DecimalField("water after", max_digits=5, decimal_places=3, null=True)
    roaster = models.CharField("roasted in", max_length=10, choices=ROASTERS, blank=True)
    machine = models.CharField("machine", max_length=120, blank=True)
    start_celsius = models.DecimalField("beans went in at", max_digits=4, decimal_places=1, null=True)
    dial_celsius = models.DecimalField("set to", max_digits=4, decimal_places=1, null=True)
    dial_minutes = models.DecimalField("for", max_digits=5, decimal_places=1, null=True)
    senses = models.TextField("smell and sound", blank=True, max_length=2000)
    note = models.TextField("note", blank=True, max_length=2000)
    wanted = models.ForeignKey(
        Course, on_delete=models.PROTECT, null=True, related_name="roasts", verbose_name="wanted course"
    )
    survivors_min = _figure("minutes of the first tenfold reduction")
    survivors_at_celsius = _figure("at")
    survivors_shape = _figure("shape")
    survivors_z_k = _figure("z")
    survivors_low_celsius = _figure("holds from")
    survivors_high_celsius = _figure("holds up to")
    study = models.CharField("study", max_length=300, blank=True)
    struck = models.BooleanField("struck out", default=False)

    class Meta:
        ordering = ("-roasted_on", "-number")
        constraints = (
            models.CheckConstraint(condition=~Q(beans=""), name="roast_of_something"),
            models.CheckConstraint(
                condition=Q(charge_g__isnull=True) | Q(charge_g__gt=0), name="roast_charge_above_nothing"
            ),
            models.CheckConstraint(
                condition=Q(end_g__isnull=True) | Q(end_g__gt=0), name="roast_end_above_nothing"
            ),
            models.CheckConstraint(
                condition=Q(charge_g__isnull=True) | Q(end_g__isnull=True) | Q(end_g__lte=F("charge_g")),
                name="roast_gets_no_heavier",
            ),
        )

    def __str__(self) -> str:
        return f"Roast {self.number}, {self.beans}"


class Kind(models.TextChoices):
    """Where the readings of a roast are from."""

    TYPED = "typed", "typed by hand"
    FILE = "file", "a logger's file"


class Readings(Record):
    """The readings of a roast as they came: typed lines, or the text of a logger's file, never altered.

    The newest stand. ``told`` is what the maker says beside the text: scale, columns, run; ``probes`` what is
    known of each probe in it, with offset and uncertainty as they were when it was named; ``report`` is what
    was understood of the file when it came. ``in_s`` and ``out_s`` are when the beans came in and out by
    their times [s].
    """

    roast = models.ForeignKey(Roast, on_delete=models.CASCADE, related_name="readings")
    kind = models.CharField("from", max_length=5, choices=Kind.choices)
    role = models.CharField("measured", max_length=7, choices=ROLES, default=Role.BEAN.value)
    file_name = models.CharField("file", max_length=200, blank=True)
    raw = models.TextField("as it came")
    told = models.JSONField("said beside it", default=dict)
    probes = models.JSONField("probes", default=dict)
    report = models.JSONField("understood", default=list)
    in_s = models.FloatField("beans in at", null=True)
    out_s = models.FloatField("beans out at", null=True)
    why = models.CharField("why", max_length=300, blank=True)

    class Meta:
        ordering = ("roast", "-pk")
        constraints = (
            models.CheckConstraint(condition=~Q(raw=""), name="readings_hold_something"),
            models.CheckConstraint(condition=Q(kind__in=Kind.values), name="readings_kind"),
        )

    def __str__(self) -> str:
        return self.file_name or self.get_kind_display()


class Point(Record):
    """A reading added by hand to those of a roast under way [s, °C]; it is never altered."""

    readings = models.ForeignKey(Readings, on_delete=models.CASCADE, related_name="points")
    at_s = models.PositiveIntegerField("at")
    celsius = models.DecimalField("temperature", max_digits=5, decimal_places=1)

    class Meta:
        ordering = ("readings", "at_s")
        constraints = (models.UniqueConstraint(fields=("readings", "at_s"), name="one_reading_of_a_time"),)

    def __str__(self) -> str:
        return f"{self.celsius} °C"
