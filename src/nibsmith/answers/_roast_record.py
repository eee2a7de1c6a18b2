"""What a maker recorded of one roast, and what may be worked out from it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.roast import (
    Body,
    CoreSetup,
    Curve,
    Matter,
    Probe,
    Roast,
    Roaster,
    Role,
    Weibull,
    Weighing,
    usual_transfer,
)
from nibsmith.science.tables import load

# The figures of the maker's own survivor line, in the order in which ``Weibull`` has them.
SURVIVORS = (
    "survivors_min",
    "survivors_at_celsius",
    "survivors_shape",
    "survivors_z_k",
    "survivors_low_celsius",
    "survivors_high_celsius",
)


@dataclass(frozen=True)
class RoastRecord:
    """One roast as recorded.

    ``roast`` holds probes and notes; ``weighing`` the weights before and after with the water where it was
    measured; ``roaster`` and ``start_celsius`` [°C] are for the picture of the inside of a bean; ``transfer``
    stands in for the usual heat transfer of that roaster [W/(m² K)]; ``weibull`` are the maker's own
    parameters; ``study`` names a study of this very process by somebody outside; ``in_s`` and ``out_s`` are
    when the beans came in and out by the clock of the readings [s]: only what lies between counts.
    """

    roast: Roast
    weighing: Weighing | None = None
    matter: Matter = Matter.BEANS
    roaster: Roaster | None = None
    start_celsius: float | None = None
    transfer: Span | None = None
    body: Body = Body.EQUIVALENT
    weibull: Weibull | None = None
    study: str = ""
    in_s: float | None = None
    out_s: float | None = None

    @property
    def what(self) -> str:
        """What was roasted, as it stands in a sentence."""
        return "nibs" if self.matter is Matter.NIBS else "beans"

    @property
    def in_beans(self) -> tuple[Probe, ...]:
        """The probes that measure beans."""
        return self.roast.of(Role.BEAN)

    @property
    def counted(self) -> tuple[Probe, ...]:
        """The same, while the beans were in."""
        return tuple(replace(probe, readings=self.while_in(probe.readings)) for probe in self.in_beans)

    def while_in(self, curve: Curve) -> Curve:
        """Return the part of a curve while the beans were in."""
        if self.in_s is None and self.out_s is None:
            return curve
        first = -math.inf if self.in_s is None else self.in_s
        return curve.between(first, math.inf if self.out_s is None else self.out_s)

    def part(self, probe: Probe) -> Curve:
        """Return the course of a probe: in the beans what it read while they were in, elsewhere all of it."""
        if probe.role is not Role.BEAN:
            return probe.curve
        try:
            return self.while_in(probe.curve)
        except InputError:
            return probe.curve

    def covered_by(self, curve: Curve) -> bool:
        """Whether a curve is known at the times that are told for the beans in and out."""
        told = [time for time in (self.in_s, self.out_s) if time is not None]
        return not told or bool(np.isfinite(curve.at(np.array(told))).all())

    @property
    def air(self) -> Probe | None:
        """The air around the beans: a probe in it, else the setting."""
        return next((probe for role in (Role.AIR, Role.SETTING) for probe in self.roast.of(role)), None)


@dataclass(frozen=True, slots=True)
class ProbeFacts:
    """What a workshop knows of a probe: where it was, its offset, and how far it can be off [K]."""

    role: Role | None = None
    offset_k: float | None = None
    uncertainty_k: float | None = None


def with_facts(roast: Roast, facts: Mapping[str, ProbeFacts]) -> Roast:
    """Return a roast whose probes carry what the workshop knows of them.

    Parameters
    ----------
    roast : Roast
        The roast.
    facts : Mapping[str, ProbeFacts]
        By the name of the probe; what is ``None`` stays as it is.

    Returns
    -------
    Roast
        The same readings.

    Raises
    ------
    InputError
        If a probe has no such name.

    Examples
    --------
    >>> from nibsmith.science.roast.typed import typed_roast
    >>> roast = typed_roast("0:00 24 °C; 10:00 105; 20:00 121")
    >>> with_facts(roast, {"readings by hand": ProbeFacts(uncertainty_k=1.5)}).probes[0].uncertainty_k
    1.5
    """
    names = [probe.name for probe in roast.probes]
    if unknown := [name for name in facts if name not in names]:
        raise InputError("No probe has this name", value=unknown[0], advice=f"They are: {', '.join(names)}.")
    probes = tuple(_with(probe, facts.get(probe.name, ProbeFacts())) for probe in roast.probes)
    return replace(roast, probes=probes)


def survivor_line(figures: Mapping[str, float | None]) -> Weibull | None:
    """Return the maker's own survivor line from its figures by the names of ``SURVIVORS``, if they are told.

    Parameters
    ----------
    figures : Mapping[str, float or None]
        Minutes of the first tenfold reduction [min], at which temperature [°C], shape [1], z [K], and from
        and up to which temperature it holds [°C].

    Returns
    -------
    Weibull or None
        The line; none where nothing is told.

    Raises
    ------
    InputError
        If some of the six are told and others not, or they cannot be.

    Examples
    --------
    >>> survivor_line(dict.fromkeys(SURVIVORS)) is None
    True
    >>> survivor_line(dict(zip(SURVIVORS, (10.0, 120.0, 0.8, 30.0, 100.0, 140.0), strict=True))).z_k
    30.0
    """
    lacking = [name for name in SURVIVORS if figures.get(name) is None]
    if len(lacking) == len(SURVIVORS):
        return None
    if lacking:
        raise InputError(
            "A survivor line needs all six of its figures",
            advice="They stand in the report of the study.",
            field=lacking[0],
        )
    minutes, at, shape, z, low, high = (figures[name] or 0.0 for name in SURVIVORS)
    try:
        return Weibull(minutes, at, shape, z, low, high, "typed")
    except InputError as error:
        error.field = SURVIVORS[0]
        raise


def _with(probe: Probe, facts: ProbeFacts) -> Probe:
    return replace(
        probe,
        role=probe.role if facts.role is None else facts.role,
        offset_k=probe.offset_k if facts.offset_k is None else facts.offset_k,
        uncertainty_k=probe.uncertainty_k if facts.uncertainty_k is None else facts.uncertainty_k,
    )


def core_setup(record: RoastRecord) -> CoreSetup | str:
    """Return what the picture of the inside of a bean needs, or what is not told."""
    if record.matter is Matter.NIBS:
        return "the picture is of whole beans"
    if record.weighing is None:
        return "you have not told me the weights before and after the roast"
    transfer = record.transfer or (usual_transfer(record.roaster) if record.roaster else None)
    if transfer is None:
        return "you have not told me what it was roasted in"
    if record.start_celsius is None:
        return "you have not told me how warm the beans went in"
    return CoreSetup(record.weighing, transfer, record.start_celsius, _air_off(record), body=record.body)


def _air_off(record: RoastRecord) -> float:
    """How far the air may be off: what the probe can be off, else what is usual for a probe or a dial [K]."""
    air, table = record.air, load("roast_bean")
    if air is not None and air.role is Role.AIR:
        return table["air_probe_off"].value if air.uncertainty_k is None else air.uncertainty_k
    return table["dial_off"].value


def held_longer(record: RoastRecord, seconds: float) -> RoastRecord:
    """Return a record whose beans stayed for longer at the temperature they ended at."""
    probes = record.counted
    end = min(probe.readings.end_s for probe in probes)
    longer = {probe.name: replace(probe, readings=_longer(probe.readings, end, seconds)) for probe in probes}
    kept = tuple(longer.get(probe.name, probe) for probe in record.roast.probes)
    return replace(record, roast=replace(record.roast, probes=kept), in_s=None, out_s=None)


def _longer(curve: Curve, end_s: float, seconds: float) -> Curve:
    last = float(np.interp(end_s, curve.times_s, curve.celsius))
    before = curve.times_s < end_s
    times = np.concatenate((curve.times_s[before], [end_s, end_s + seconds]))
    celsius = np.concatenate((curve.celsius[before], [last, last]))
    return Curve(times, celsius, max(curve.gap_s, seconds))
