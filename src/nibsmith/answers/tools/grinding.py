"""When a grinding is ready, from micrometer readings, without a recipe."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import StrEnum

from nibsmith.answers._smooth_words import AIM_WORDS
from nibsmith.answers.context import Context
from nibsmith.answers.process import aim_of, kit_of, process_of
from nibsmith.answers.process_sizes import speed_for, start_size
from nibsmith.answers.smooth import GrindCurve, grind_curve, smooth
from nibsmith.answers.tools.outcome import Given, Outcome, constants, given
from nibsmith.answers.tools.pouring import span_words
from nibsmith.answers.tools.rows import rows_of
from nibsmith.answers.wording import NO_BREAK, RANGE
from nibsmith.science.errors import InputError
from nibsmith.science.grind import Aim, SizeReading, largest_for
from nibsmith.science.mixture import Form, Recipe, Span, part
from nibsmith.science.tables import load

USUAL_CHARGE_G = 2000
FORMULAS = (
    "One over the size grows evenly: 1/d(t) = 1/d_0 + k·t, down to where the kit comes to rest.",
    "Such kits rest between two sizes; one that stalls rests anywhere above them.",
    "t counts from the last coarse addition; d_0 is the size of what went in.",
    "k is the speed of the kit; the same power on twice the charge grinds half as fast.",
    "d_0, k and a stall are drawn so that they agree with the readings, errors of reading with heavy tails.",
    "It is ready at the hour from which seven draws in ten are fine enough.",
)
_FOREIGN = re.compile(r"[\d.,]+\s*(?:[mn]m|min(?:utes?)?|s(?:ec|econds?)?|d(?:ays?)?)\b", re.IGNORECASE)
_NAMES = ("hours", "size", "how many readings")


class LastIn(StrEnum):
    """What went in last."""

    SUGAR = "sugar"
    NIBS = "nibs"


@dataclass(frozen=True, slots=True)
class GrindAsked:
    """What went in last, how much there is [g], readings, the aim, hours planned [h], the workshop."""

    last: LastIn = LastIn.SUGAR
    readings: tuple[SizeReading, ...] = ()
    aim: Aim | None = None
    hours: float | None = None
    charge_g: float | None = None
    context: Context = field(default_factory=Context)

    @property
    def charge(self) -> float:
        """How much is in the machine [g]: as said, else the usual, or the nearest that the kit takes."""
        if self.charge_g is not None:
            return self.charge_g
        machine = kit_of(self.context)
        most = USUAL_CHARGE_G if machine.charge_max_g is None else machine.charge_max_g
        return max(min(USUAL_CHARGE_G, most), machine.charge_min_g or 0)

    @property
    def here(self) -> Context:
        """The workshop with the readings in it, and what is known of its kit."""
        known = process_of(self.context)
        process = replace(known, readings=self.readings, aim=self.aim, hours=self.hours)
        return replace(self.context, process=process)

    @property
    def recipe(self) -> Recipe:
        """What is in the machine: nibs, with sugar where that went in last."""
        charge_g = self.charge
        sugar_g = 3 * charge_g / 10 if self.last is LastIn.SUGAR else 0.0
        nibs = part("cocoa_nibs_roasted", charge_g - sugar_g)
        made = (nibs, part("sugar_granulated", sugar_g)) if sugar_g else (nibs,)
        return Recipe("Mass in the machine", Form.BAR, made)


def readings_typed(text: str) -> tuple[SizeReading, ...]:
    r"""Return micrometer readings typed as lines: hours, size in µm, and of how many it is the median.

    Examples
    --------
    >>> readings_typed("9 h 95 µm\n24 45 5")[1]
    SizeReading(hours=24.0, size_um=45.0, count=5)
    """
    if not text.strip():
        return ()
    foreign = _FOREIGN.search(text)
    if foreign:
        raise InputError(
            "Readings are hours and micrometres", value=foreign[0], advice="Write them such as 24 h 45 µm."
        )
    found = []
    for row in rows_of(text, _NAMES, optional=1).rows:
        count = row[2] if len(row) > 2 else 1.0
        if count != int(count) or count < 1:
            raise InputError("Readings are counted in whole ones", value=f"{count:g}")
        if row[1] < (load("grind")["laser_d90"].low or 0.0):
            raise InputError(
                "No micrometer reads grains of this size", value=f"{row[1]:g} µm", advice="Type them in µm."
            )
        found.append(SizeReading(row[0], row[1], int(count)))
    return tuple(sorted(found, key=lambda reading: reading.hours))


def grinding_by_hand(asked: GrindAsked) -> Outcome:
    """Answer how fine a mass is and when it is ready, from readings.

    Parameters
    ----------
    asked : GrindAsked
        Kit, charge, readings and aim as far as they are known.

    Returns
    -------
    Outcome
        The answer of ``smooth``.

    Raises
    ------
    InputError
        If the readings cannot be those of one grinding.

    Examples
    --------
    >>> from nibsmith.science.kit import kit
    >>> asked = GrindAsked(readings=readings_typed("9 95 3 / 24 45 3"), context=Context(kit=kit("stone")))
    >>> grinding_by_hand(asked).answer.verdict.value
    'watch'
    """
    answer = smooth(asked.recipe, asked.here)
    answer = replace(answer, title="Grinding")
    return Outcome(answer, tuple(_given(asked)), FORMULAS, constants("grind", _keys(asked)))


def grinding_curve(asked: GrindAsked) -> GrindCurve | None:
    """Return the forecast over hours; none where nothing tells how fast it goes."""
    try:
        return grind_curve(asked.recipe, asked.here)
    except InputError:
        return None


def _keys(asked: GrindAsked) -> Iterator[str]:
    """The figures behind an answer: of what went in, of its kit, and of readings where there are any."""
    yield "granulated_sugar" if asked.last is LastIn.SUGAR else "nib_paste"
    speed = f"{kit_of(asked.here).key}_speed"
    if process_of(asked.here).speed is None and speed in load("grind"):
        yield speed
    if asked.readings:
        yield from ("reading_error", "reading_share", "other_share", "rest_share", "stall_share")
        yield from ("other_stall_share", "floor_begins", "near_floor")


def _given(asked: GrindAsked) -> Iterator[Given]:
    machine = kit_of(asked.here)
    low, high = machine.size_um
    yield given("Kit", machine.name, "", said=asked.context.kit is not None)
    yield given("Charge", asked.charge, "g", said=asked.charge_g is not None)
    start = span_words(start_size(asked.recipe, asked.here), "µm")
    yield Given("Size of what went in last", start, "usual")
    yield from _speed_given(asked)
    yield Given("Comes to rest at", span_words(Span(low, low, high), "µm"), "usual")
    aim = aim_of(asked.here)
    wanted = f"{AIM_WORDS[aim]}, {largest_for(aim):g}{NO_BREAK}µm"
    yield given("Aim", wanted, "", said=asked.aim is not None)
    if asked.hours is not None:
        yield Given("Ground in all", f"{asked.hours:g}{NO_BREAK}h")
    for one in asked.readings:
        many = f", median of {one.count}" if one.count > 1 else ""
        yield Given(f"Read after {one.hours:g}{NO_BREAK}h", f"{one.size_um:g}{NO_BREAK}µm{many}")


def _speed_given(asked: GrindAsked) -> Iterator[Given]:
    """How fast the kit is known to grind this charge, and whether by batches of its own."""
    speed, known = speed_for(asked.charge, asked.here), process_of(asked.here).speed
    if speed is None:
        return
    text = f"{speed.value:.2g} ({speed.low:.2g}{RANGE}{speed.high:.2g}){NO_BREAK}1/(µm{NO_BREAK}h)"
    yield given("Speed on this charge", text, "", said=known is not None and known.observations > 0)


def reading_reach() -> float:
    """Return how far a single micrometer reading may be off, either way [µm]."""
    return load("grind")["reading_error"].value
