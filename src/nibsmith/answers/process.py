"""How a mass is made, as far as an answer may know: grain sizes, water, temperature, use, aim, history."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from nibsmith.answers.context import Context
from nibsmith.answers.cooling import Cooling
from nibsmith.answers.wording import NO_BREAK, RANGE
from nibsmith.science.errors import InputError
from nibsmith.science.flow import Calibration, Feel, Reading, Use
from nibsmith.science.grind import Aim, KitSpeed, SizeReading
from nibsmith.science.kit import Kit, kit
from nibsmith.science.mixture import Form, Grind, Kind, Recipe, Span
from nibsmith.science.tables import Constant, load

ASSUMED_KIT = "stone"
_GROUND_HERE = frozenset({Kind.BEAN, Kind.NIB})
GRANULATED_UNLESS = frozenset({"sugar_powdered"})
_NARROW = frozenset({"ball_mill"})
_SHELLS = frozenset({Form.FILLED, Form.PRALINE})


@dataclass(frozen=True)
class SeenFlow:
    """How a mass was seen to flow: what and when, in words, such as "too thick for bars after 40 h".

    ``reading`` is what science reads of it, ``None`` where the estimate has nothing to compare it with;
    ``feel`` and ``use`` are the maker's word, where it was one.
    """

    said: str
    reading: Reading | None = None
    feel: Feel | None = None
    use: Use | None = None


@dataclass(frozen=True)
class Process:
    """How a mass is made, as far as the maker has said; what is ``None`` is taken from the kit.

    Sizes are D90, or the median of micrometer readings [µm]; ``end_water_percent`` is the water of the
    finished mass [%], ``usual_water_percent`` what is taken for it where neither the maker nor the kit says
    it, and what went in does not either; ``temperature_celsius`` is that of the tempered mass when it is
    poured [°C].
    ``calibration`` and ``speed`` are those of the kit. ``readings`` are of this batch, ``hours`` how long it
    is to be ground; both count from the last coarse addition [h]. ``seen`` is how this very mass was seen to
    flow, in order of time, since anything went in; ``calibration`` is then that of before it. ``cooling`` is
    how the moulds are cooled.
    """

    cocoa_d90_um: Span | None = None
    sugar_d90_um: Span | None = None
    end_water_percent: Span | None = None
    usual_water_percent: Span | None = None
    temperature_celsius: Span | None = None
    use: Use | None = None
    aim: Aim | None = None
    calibration: Calibration | None = None
    speed: KitSpeed | None = None
    readings: tuple[SizeReading, ...] = ()
    hours: float | None = None
    seen: tuple[SeenFlow, ...] = ()
    cooling: Cooling | None = None

    def __post_init__(self) -> None:
        for field, size in (("cocoa_um", self.cocoa_d90_um), ("sugar_um", self.sugar_d90_um)):
            if size is not None and size.value <= 0:
                raise InputError("Grains are larger than nothing", value=f"{size.value:g} µm", field=field)
        if self.end_water_percent is not None and self.end_water_percent.high >= 100:
            said = f"{self.end_water_percent.value:g} %"
            raise InputError("A mass cannot be all water", value=said, field="water_percent")


def process_of(context: Context) -> Process:
    """Return the process of a context, an empty one where there is none."""
    return context.process or Process()


def kit_of(context: Context) -> Kit:
    """Return the kit of a context; a stone grinder where none is chosen."""
    return context.kit or kit(ASSUMED_KIT)


def use_of(recipe: Recipe, context: Context) -> Use:
    """Return what a mass is poured for: as said, else thin shells for filled forms, bars for all others."""
    said = process_of(context).use
    return usual_use(recipe.form) if said is None else said


def usual_use(form: Form) -> Use:
    """Return what a mass is poured for by what it is sold as: thin shells for filled forms, else bars.

    Examples
    --------
    >>> usual_use(Form.PRALINE).value, usual_use(Form.BAR).value
    ('thin_shells', 'bars')
    """
    return Use.THIN_SHELLS if form in _SHELLS else Use.BARS


def aim_of(context: Context) -> Aim:
    """Return what is aimed at: as said, else the smoothest that the kit reaches."""
    said = process_of(context).aim
    if said is not None:
        return said
    finest = kit_of(context).size_um[0]
    table = load("grind")
    reached = (aim for aim in Aim if finest <= table[f"aim_{aim.value}"].value)
    return next(reached, Aim.RUSTIC)


def readings_since(
    readings: Iterable[tuple[float, float, int]], addition_hours: float
) -> tuple[SizeReading, ...]:
    """Return readings counted from the last coarse addition; what was read before it tells nothing of it.

    Parameters
    ----------
    readings : iterable of (float, float, int)
        Hours since the start, median size and how many readings it is of [h; µm].
    addition_hours : float
        When the last coarse addition was made [h since the start].

    Returns
    -------
    tuple of SizeReading
        In order of time.

    Examples
    --------
    >>> [reading.hours for reading in readings_since([(5.0, 90.0, 1), (20.0, 40.0, 3)], 6.0)]
    [14.0]
    """
    later = (
        SizeReading(hours - addition_hours, size_um, count)
        for hours, size_um, count in readings
        if hours >= addition_hours
    )
    return tuple(sorted(later, key=lambda reading: reading.hours))


def sauter_share_of(context: Context) -> Span:
    """Return D[3,2] over D90 for a kit: narrow for a ball mill, wide for all others [1]."""
    narrow = kit_of(context).key in _NARROW
    return span_of(load("flow")["sauter_share_narrow" if narrow else "sauter_share_wide"])


def span_of(row: Constant) -> Span:
    """Return a constant with its ends, in its unit."""
    low = row.value if row.low is None else row.low
    high = row.value if row.high is None else row.high
    return Span(low, row.value, high)


def micrometres(span: Span) -> str:
    """Return a range of sizes in words.

    Examples
    --------
    >>> micrometres(Span(15.0, 21.2, 30.0)).replace(NO_BREAK, " ")
    '15–30 µm'
    """
    low, high = f"{span.low:.0f}", f"{span.high:.0f}"
    return f"{low}{NO_BREAK}µm" if low == high else f"{low}{RANGE}{high}{NO_BREAK}µm"


def coarse_sugar(recipe: Recipe, context: Context) -> bool:
    """Return whether sugar goes in as granules that this kit does not grind."""
    return not kit_of(context).grinds_sugar and bool(sugars_in(recipe) - GRANULATED_UNLESS)


def whole_sugar(recipe: Recipe, context: Context) -> bool:
    """Return whether sugar that is meant to be fine goes in as granules that this kit does not grind."""
    meant_fine = sugars_in(recipe, but=Grind.COARSE)
    return not kit_of(context).grinds_sugar and bool(meant_fine - GRANULATED_UNLESS)


def from_nibs(recipe: Recipe) -> bool:
    """Return whether cocoa is ground here from beans or nibs."""
    return any(leaf.kind in _GROUND_HERE and leaf.mass_g > 0 for leaf in recipe.leaves() if leaf.in_machine)


def sugars_in(recipe: Recipe, but: Grind | None = None) -> set[str]:
    """Return the keys of the sugars that go into the machine, but for those of a grind."""
    return {
        leaf.ingredient.key
        for leaf in recipe.leaves()
        if leaf.in_machine
        and leaf.kind in (Kind.SUGAR, Kind.SWEETENER)
        and leaf.mass_g > 0
        and leaf.grind is not but
    }
