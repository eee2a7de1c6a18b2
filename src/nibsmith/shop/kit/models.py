"""The maker's own machines, moulds, fridges and probes, and what their observations say of a kit."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q

from nibsmith.shop.common.base import Record
from nibsmith.shop.common.once_named import mark_field, once_in_lists

OWN = "own:"
CUP = "cup"  # stands in place of a kit for cooling curves: they depend on the cup, not on the grinder


class OwnKit(Record):
    """A machine of the maker's: a packaged kit with some figures of their own.

    A figure that is empty is that of ``based_on``. The residue stays behind whatever the batch, and
    ``loss_percent`` of the finished mass is lost besides. ``decimals`` are those a share was typed with,
    by its column: they say how well the maker knows it.
    """

    name = models.CharField("name", max_length=120)
    name_mark = mark_field()
    based_on = models.CharField("a kind of", max_length=40)
    charge_min_g = models.DecimalField("smallest charge", max_digits=9, decimal_places=2, null=True)
    charge_max_g = models.DecimalField("largest charge", max_digits=9, decimal_places=2, null=True)
    residue_g = models.DecimalField("stays behind", max_digits=9, decimal_places=2, null=True)
    loss_percent = models.DecimalField("lost besides", max_digits=5, decimal_places=3, null=True)
    end_water_percent = models.DecimalField("end water", max_digits=5, decimal_places=3, null=True)
    decimals = models.JSONField("decimals as typed", default=dict, editable=False)
    ceiling_celsius = models.DecimalField("not hotter than", max_digits=5, decimal_places=2, null=True)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="own_kit_has_a_name"),
            once_in_lists("own_kit_of_its_name"),
            models.CheckConstraint(
                condition=Q(charge_min_g__isnull=True)
                | Q(charge_max_g__isnull=True)
                | Q(charge_min_g__lte=F("charge_max_g")),
                name="own_kit_charge_in_order",
            ),
            models.CheckConstraint(
                condition=Q(residue_g__isnull=True) | Q(residue_g__gte=0), name="own_kit_residue_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(loss_percent__isnull=True) | Q(loss_percent__gte=0, loss_percent__lt=100),
                name="own_kit_loss_leaves_something",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a recipe or the settings name it by."""
        return f"{OWN}{self.public_id}"

    def as_typed(self, column: str) -> Decimal | None:
        """Return a figure with the decimals it was typed with, where these were kept."""
        value = getattr(self, column) if column in self.decimals else None
        return None if value is None else round(Decimal(value), self.decimals[column])


class Mould(Record):
    """A mould: what one cavity holds, how many cavities it has, and what it weighs with nothing in it."""

    name = models.CharField("name", max_length=120)
    name_mark = mark_field()
    cavity_g = models.DecimalField("one cavity", max_digits=8, decimal_places=3)
    cavities = models.PositiveSmallIntegerField("cavities", default=1)
    empty_g = models.DecimalField("an empty one", max_digits=8, decimal_places=3, null=True)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="mould_has_a_name"),
            once_in_lists("mould_of_its_name"),
            models.CheckConstraint(condition=Q(cavity_g__gt=0), name="mould_cavity_holds_something"),
            models.CheckConstraint(condition=Q(cavities__gte=1), name="mould_has_a_cavity"),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a recipe or the settings name it by."""
        return str(self.public_id)


class Air(models.TextChoices):
    """How the air moves in a fridge; the science tables give each its figure."""

    STILL = "still", "still, as in most fridges"
    FAN = "fan", "moved by a fan"
    STRONG = "strong", "blown hard, as in a cabinet"


class Fridge(Record):
    """Where moulds cool: how cold it is, and how its air moves.

    ``air_h`` is the maker's own figure of the heat that its air takes up, in place of that of ``air``
    [W/(m² K)].
    """

    name = models.CharField("name", max_length=120)
    name_mark = mark_field()
    celsius = models.DecimalField("temperature", max_digits=4, decimal_places=1)
    air = models.CharField("air", max_length=6, choices=Air.choices, default=Air.STILL)
    air_h = models.DecimalField("heat taken up", max_digits=5, decimal_places=1, null=True)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="fridge_has_a_name"),
            once_in_lists("fridge_of_its_name"),
            models.CheckConstraint(condition=Q(air__in=Air.values), name="fridge_air"),
            models.CheckConstraint(
                condition=Q(air_h__isnull=True) | Q(air_h__gt=0), name="fridge_air_takes_up_heat"
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a page or a session names it by."""
        return str(self.public_id)


class Measures(models.TextChoices):
    """What a probe is put into."""

    BEAN = "bean", "beans"
    AIR = "air", "air of the oven or roaster"
    EXHAUST = "exhaust", "air that leaves the roaster"
    MASS = "mass", "mass, in the bowl or in a cooling cup"


class Probe(Record):
    """A thermometer: what it measures, how far it reads off, and how sure that is.

    ``offset_k`` is added to what it reads, as found in a check of it [K]. ``uncertainty_k`` is what remains
    on either side [K]; none where nobody has checked, which is not zero.
    """

    name = models.CharField("name", max_length=120)
    name_mark = mark_field()
    measures = models.CharField("measures", max_length=7, choices=Measures.choices)
    offset_k = models.DecimalField("added to what it reads", max_digits=4, decimal_places=1, default=0)
    uncertainty_k = models.DecimalField("good to", max_digits=4, decimal_places=1, null=True)
    note = models.TextField("note", blank=True, max_length=2000)
    retired_at = models.DateTimeField("put away", null=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(condition=~Q(name=""), name="probe_has_a_name"),
            once_in_lists("probe_of_its_name"),
            models.CheckConstraint(condition=Q(measures__in=Measures.values), name="probe_measures"),
            models.CheckConstraint(
                condition=Q(uncertainty_k__isnull=True) | Q(uncertainty_k__gte=0),
                name="probe_uncertainty_not_negative",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def ref(self) -> str:
        """What a page or a roast names it by."""
        return str(self.public_id)


class Subject(models.TextChoices):
    """What a calibration is of."""

    FLOW = "flow", "flow"
    GRINDING = "grinding", "grinding"
    TEMPER = "temper", "cooling curves"


class Calibration(Record):
    """What the observations of one kit said at a time; each new one is a row of its own.

    ``kit`` is a ref of this app, or ``cup``. ``factors`` are ranges by name, each low, usual, high.
    ``observations`` is how many stand behind it.
    """

    kit = models.CharField("kit", max_length=64)
    kind = models.CharField("of", max_length=8, choices=Subject.choices)
    number = models.PositiveIntegerField("number")
    observations = models.PositiveIntegerField("observations")
    factors = models.JSONField("factors")

    class Meta:
        ordering = ("kit", "kind", "-number")
        constraints = (
            models.UniqueConstraint(fields=("kit", "kind", "number"), name="calibration_number_of_a_kit"),
            models.CheckConstraint(condition=Q(kind__in=Subject.values), name="calibration_kind"),
        )

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.number}"


class Observation(models.Model):
    """One thing seen on a kit, with what the calibration reads of it.

    ``source`` names the record that holds it, ``run`` what it belongs to: a batch, a session. A calibration
    is made of the observations whose ``joined`` is its number or lower and whose ``left`` is none or higher;
    one that was corrected or struck out has left.
    """

    kit = models.CharField("kit", max_length=64)
    kind = models.CharField("of", max_length=8, choices=Subject.choices)
    run = models.CharField("belongs to", max_length=64)
    source = models.CharField("kept as", max_length=64)
    words = models.CharField("in words", max_length=300)
    facts = models.JSONField("facts")
    joined = models.PositiveIntegerField("part of, from calibration", null=True)
    left = models.PositiveIntegerField("no part of, from calibration", null=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("pk",)
        indexes = (
            models.Index(fields=("kit", "kind"), name="observations_of_a_kit"),
            models.Index(fields=("run",), name="observations_of_a_run"),
        )

    def __str__(self) -> str:
        return self.words
