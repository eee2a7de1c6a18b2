"""A batch, what was planned for it, everything that was written down about it, and its sessions."""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import Q

from nibsmith.science.flow import Feel, Use
from nibsmith.science.grind import Aim
from nibsmith.science.temper import Temper
from nibsmith.shop.common.base import Record
from nibsmith.shop.kit.models import Probe
from nibsmith.shop.recipes.models import RecipeVersion

FEELS = ((Feel.TOO_THICK.value, "too thick"), (Feel.RIGHT.value, "right"), (Feel.TOO_THIN.value, "too thin"))
USES = (
    (Use.BARS.value, "bars"),
    (Use.THIN_SHELLS.value, "thin shells"),
    (Use.DIPPING.value, "dipping"),
    (Use.HAND.value, "spreading by hand"),
)
AIMS = (
    (Aim.MELTING.value, "melting smooth"),
    (Aim.STONE_GROUND.value, "stone-ground"),
    (Aim.RUSTIC.value, "rustic"),
)
AS_THE_KIT = "as smooth as the kit gets"


class Batch(Record):
    """One making of a recipe version on a kit. ``number`` counts the batches of the workshop.

    ``kit`` is a ref of the kit app; ``planned_g`` is everything that was to be weighed [g]. ``use`` is what
    its mass is poured for; without an ``aim`` it is to be as smooth as the kit gets.
    """

    number = models.PositiveIntegerField("number", unique=True)
    version = models.ForeignKey(RecipeVersion, on_delete=models.PROTECT, related_name="batches")
    kit = models.CharField("kit", max_length=64)
    planned_g = models.DecimalField("planned", max_digits=12, decimal_places=3)
    use = models.CharField("poured for", max_length=12, choices=USES, default=Use.BARS.value)
    aim = models.CharField("to be", max_length=12, choices=AIMS, blank=True)
    began_at = models.DateTimeField("begun")
    note = models.TextField("note", blank=True, max_length=2000)

    class Meta:
        ordering = ("-number",)
        constraints = (
            models.CheckConstraint(condition=Q(planned_g__gt=0), name="batch_weighs_something"),
            models.CheckConstraint(condition=~Q(kit=""), name="batch_has_a_kit"),
            models.CheckConstraint(condition=Q(use__in=list(dict(USES))), name="batch_use"),
            models.CheckConstraint(condition=Q(aim__in=["", *dict(AIMS)]), name="batch_aim"),
        )

    def __str__(self) -> str:
        return f"Batch {self.number}, {self.version.recipe.name}"

    @property
    def run(self) -> str:
        """What its observations are known by."""
        return f"batch:{self.public_id}"

    @property
    def purpose(self) -> str:
        """What its mass is poured for, and how smooth it is to be."""
        return f"for {self.get_use_display()}, {self.get_aim_display() or AS_THE_KIT}"


class PlannedPart(models.Model):
    """A part as it was planned when the batch was made; it stays so, whatever becomes of the recipe.

    ``coarse`` says that grinding begins anew when it goes in.
    """

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="planned")
    order = models.PositiveSmallIntegerField("order")
    label = models.SlugField("label", max_length=60)
    name = models.CharField("name", max_length=200)
    stage = models.CharField("stage", max_length=20)
    in_machine = models.BooleanField("goes into the machine")
    coarse = models.BooleanField("coarse")
    planned_g = models.DecimalField("planned", max_digits=12, decimal_places=3)

    class Meta:
        ordering = ("batch", "order")
        constraints = (
            models.UniqueConstraint(fields=("batch", "label"), name="label_in_a_batch"),
            models.CheckConstraint(condition=Q(planned_g__gte=0), name="planned_not_negative"),
        )

    def __str__(self) -> str:
        return self.name


class Entry(Record):
    """Something written down about a batch. It is never altered: a correction is an entry of its own.

    ``hours`` count from the beginning of the batch [h]. A correction ``replaces`` the entry before and says
    why; one that is ``struck`` says that there was no such thing.
    """

    hours = models.DecimalField("hours since the start", max_digits=8, decimal_places=2)
    replaces = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, related_name="replaced_by", verbose_name="in place of"
    )
    struck = models.BooleanField("struck out", default=False)
    why = models.CharField("why", max_length=300, blank=True)
    note = models.CharField("note", max_length=300, blank=True)

    class Meta:
        abstract = True
        constraints: ClassVar[tuple[models.BaseConstraint, ...]] = (
            models.CheckConstraint(condition=Q(hours__gte=0), name="%(class)s_not_before_the_start"),
            models.CheckConstraint(
                condition=Q(replaces__isnull=True) | ~Q(why=""), name="%(class)s_corrected_for_a_reason"
            ),
            models.CheckConstraint(
                condition=Q(struck=False) | Q(replaces__isnull=False), name="%(class)s_strikes_out_something"
            ),
        )

    @property
    def source(self) -> str:
        """What an observation made of it is kept as."""
        return f"{self._meta.label_lower}:{self.public_id}"

    @property
    def of_batch(self) -> Batch:
        """The batch it is about."""
        raise NotImplementedError


class BatchEntry(Entry):
    """Something written down about the mass of a batch."""

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta(Entry.Meta):
        abstract = True

    @property
    def of_batch(self) -> Batch:
        """The batch it is about."""
        return self.batch


class Addition(BatchEntry):
    """A part that was weighed and went in: of the plan, or something else by its ingredient and name."""

    part = models.ForeignKey(PlannedPart, on_delete=models.PROTECT, null=True, related_name="additions")
    ingredient = models.CharField("ingredient", max_length=80, blank=True)
    name = models.CharField("what", max_length=200)
    weighed_g = models.DecimalField("weighed", max_digits=12, decimal_places=3)
    coarse = models.BooleanField("coarse", default=False)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")
        constraints = (
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(weighed_g__gte=0), name="addition_not_negative"),
            models.CheckConstraint(
                condition=Q(part__isnull=False) | ~Q(ingredient=""), name="addition_of_something_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.name}, {self.weighed_g} g"


class SizeReading(BatchEntry):
    """Some micrometer readings taken together [µm], as they were typed."""

    values = models.JSONField("sizes read")
    median_um = models.DecimalField("median", max_digits=7, decimal_places=2)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")
        constraints = (
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(median_um__gt=0), name="size_above_nothing"),
        )

    def __str__(self) -> str:
        return f"{self.median_um} µm"


class How(models.TextChoices):
    """How the flow of a mass was seen."""

    WORDS = "words", "by hand and eye"
    CUP = "cup", "with a flow cup"
    RING = "ring", "with a spread ring"
    VISCOMETER = "viscometer", "with a viscometer"


class FlowReading(BatchEntry):
    """How the mass flowed, in words or figures, how warm it was, and whether it was tempered then."""

    how = models.CharField("seen", max_length=10, choices=How.choices)
    feel = models.CharField("it was", max_length=10, choices=FEELS, blank=True)
    use = models.CharField("for", max_length=12, choices=USES, blank=True)
    cup = models.CharField("cup", max_length=12, blank=True)
    seconds = models.DecimalField("seconds", max_digits=7, decimal_places=2, null=True)
    diameter_mm = models.DecimalField("spread to", max_digits=6, decimal_places=1, null=True)
    volume_cm3 = models.DecimalField("out of a ring of", max_digits=7, decimal_places=2, null=True)
    stress_pa = models.DecimalField("stress at 5 1/s", max_digits=8, decimal_places=3, null=True)
    viscosity_pas = models.DecimalField("viscosity at 40 1/s", max_digits=8, decimal_places=3, null=True)
    celsius = models.DecimalField("temperature", max_digits=4, decimal_places=1, null=True)
    tempered = models.BooleanField("tempered", default=True)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")
        constraints = (
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(how__in=How.values), name="flow_seen_somehow"),
        )

    def __str__(self) -> str:
        return self.get_how_display()


class EndWeight(BatchEntry):
    """What came out of the machine, weighed [g]: all that sessions can take."""

    grams = models.DecimalField("came out", max_digits=12, decimal_places=3)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")
        constraints = (
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(grams__gt=0), name="end_weight_above_nothing"),
        )

    def __str__(self) -> str:
        return f"{self.grams} g"


class Method(models.TextChoices):
    """How a session tempered its mass."""

    SEED = "seed", "seeded with tempered chocolate"
    BUTTER_SEED = "butter_seed", "seeded with cocoa butter"
    TABLE = "table", "on a table"
    BOWL = "bowl", "in the bowl, cooled and warmed"
    MACHINE = "machine", "in a machine"
    NONE = "none", "not tempered, on purpose"


class Session(Record):
    """Some of the mass, tempered, folded into and moulded at one go.

    A figure that is empty may be filled in later; one that stands is changed only for a reason. What is left
    over and ``put_back`` can be taken again by a later session. One that is ``struck`` never was.
    """

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="sessions")
    number = models.PositiveIntegerField("number")
    began_at = models.DateTimeField("begun")
    taken_g = models.DecimalField("taken", max_digits=12, decimal_places=3)
    method = models.CharField("tempered", max_length=11, choices=Method.choices, blank=True)
    melt_celsius = models.DecimalField("melted at", max_digits=4, decimal_places=1, null=True)
    cool_celsius = models.DecimalField("cooled to", max_digits=4, decimal_places=1, null=True)
    work_celsius = models.DecimalField("worked at", max_digits=4, decimal_places=1, null=True)
    mould = models.CharField("mould", max_length=64, blank=True)
    fridge = models.CharField("cooled in", max_length=64, blank=True)
    bars = models.PositiveIntegerField("bars", null=True)
    left_over_g = models.DecimalField("left over", max_digits=12, decimal_places=3, null=True)
    put_back = models.BooleanField("put back to the rest of the mass", default=False)
    struck = models.BooleanField("struck out", default=False)
    tasting = models.TextField("tasting words", blank=True, max_length=2000)
    note = models.TextField("note", blank=True, max_length=2000)

    class Meta:
        ordering = ("batch", "number")
        constraints = (
            models.UniqueConstraint(fields=("batch", "number"), name="session_number_of_a_batch"),
            models.CheckConstraint(condition=Q(taken_g__gt=0), name="session_takes_something"),
            models.CheckConstraint(
                condition=Q(left_over_g__isnull=True) | Q(left_over_g__gte=0), name="session_left_over"
            ),
        )

    def __str__(self) -> str:
        return f"Session {self.number}"

    @property
    def untempered(self) -> bool:
        """Whether it was left untempered on purpose."""
        return self.method == Method.NONE

    @property
    def gave_back_g(self) -> Decimal:
        """What a later session can take of it [g]."""
        return self.left_over_g if self.put_back and self.left_over_g is not None else Decimal(0)

    @property
    def run(self) -> str:
        """What its observations are known by."""
        return f"session:{self.public_id}"


class SessionEntry(Entry):
    """Something written down about a session."""

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="%(class)ss")

    class Meta(Entry.Meta):
        abstract = True

    @property
    def of_batch(self) -> Batch:
        """The batch it is about."""
        return self.session.batch


class FoldIn(SessionEntry):
    """What was folded into the mass of a session, and how warm it was."""

    part = models.ForeignKey(PlannedPart, on_delete=models.PROTECT, null=True, related_name="foldins")
    ingredient = models.CharField("ingredient", max_length=80, blank=True)
    name = models.CharField("what", max_length=200)
    weighed_g = models.DecimalField("weighed", max_digits=12, decimal_places=3)
    celsius = models.DecimalField("temperature", max_digits=4, decimal_places=1, null=True)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")
        constraints = (
            *Entry.Meta.constraints,
            models.CheckConstraint(condition=Q(weighed_g__gt=0), name="fold_in_above_nothing"),
            models.CheckConstraint(
                condition=Q(part__isnull=False) | ~Q(ingredient=""), name="fold_in_of_something_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.name}, {self.weighed_g} g"


MARKS = (
    (Temper.WELL.value, "well tempered"),
    (Temper.UNDER.value, "under-tempered"),
    (Temper.OVER.value, "over-tempered"),
)


class Curve(SessionEntry):
    """A cooling curve of a session: what was typed, the points read of it, and how the bars came out.

    ``points`` are seconds and degrees as the probe read them; ``offset_k`` is what was added to them then.
    """

    typed = models.TextField("points as typed", max_length=20000)
    points = models.JSONField("points")
    coolant_celsius = models.DecimalField("cold body at", max_digits=4, decimal_places=1)
    probe = models.ForeignKey(Probe, on_delete=models.PROTECT, null=True, verbose_name="probe")
    offset_k = models.DecimalField("added to what it reads", max_digits=4, decimal_places=1, default=0)
    mark = models.CharField("the bars were", max_length=6, choices=MARKS, blank=True)

    class Meta(Entry.Meta):
        abstract = False
        ordering = ("hours", "pk")

    def __str__(self) -> str:
        return f"cooling curve of {len(self.points)} points"
