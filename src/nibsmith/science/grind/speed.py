"""How fast a kit grinds, from the batches that were ground on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from nibsmith.science.errors import InputError
from nibsmith.science.grind.readings import GrindFit
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load


@dataclass(frozen=True, slots=True)
class KitSpeed:
    """How fast a kit grinds a charge [g]; two in three batches lie within the ends [1/(µm h)].

    ``observations`` is how many batches stand behind it.
    """

    speed: Span
    charge_g: float
    observations: int

    def for_charge(self, charge_g: float) -> Span:
        """Return the speed on another charge: the same power on more mass grinds it slower.

        Parameters
        ----------
        charge_g : float
            The other charge, above zero [g].

        Returns
        -------
        Span
            In proportion to one over the charge; two in three batches within the ends [1/(µm h)].

        Raises
        ------
        InputError
            If the charge is not above zero.
        """
        if not charge_g > 0:
            raise InputError("A charge is above zero", value=charge_g)
        return self.speed.times(self.charge_g / charge_g)


def usual_speed(key: str, charge_g: float) -> KitSpeed | None:
    """Return the speed that is reported of a kind of kit, as of a charge.

    Parameters
    ----------
    key : str
        Kind of kit, such as ``stone``.
    charge_g : float
        The charge that the speed is taken to be reported of [g].

    Returns
    -------
    KitSpeed or None
        With no batch behind it; ``None`` where no speed is reported.

    Examples
    --------
    >>> usual_speed("stone", 1200.0).speed.value, usual_speed("mortar", 200.0)
    (0.0014, None)

    References
    ----------
    [alamprese-2007]
    """
    row = load("grind").get(f"{key}_speed")
    if row is None or row.low is None or row.high is None:
        return None
    return KitSpeed(Span(row.low, row.value, row.high), charge_g, 0)


def calibrate_speed(runs: Sequence[tuple[GrindFit, float]], prior: KitSpeed | None = None) -> KitSpeed:
    """Return the speed of a kit from batches ground on it.

    Weighted mean of ``ln(k·m)``, k the speed and m the charge of a batch, with what differs from batch to
    batch added to the error of each.

    Parameters
    ----------
    runs : sequence of (GrindFit, float)
        Fits of batches, each with its charge [g].
    prior : KitSpeed, optional
        What is reported of such kits.

    Returns
    -------
    KitSpeed
        For the charge of the prior, or of the last batch.

    Raises
    ------
    InputError
        With neither a batch nor a prior.

    Examples
    --------
    >>> reported = KitSpeed(Span(0.0007, 0.0014, 0.0028), 1500.0, 0)
    >>> round(calibrate_speed([], reported).for_charge(3000.0).value, 5)
    0.0007

    References
    ----------
    [alamprese-2007]
    """
    batch = math.log(load("grind")["speed_batch_factor"].value)
    charge_g = prior.charge_g if prior else runs[-1][1] if runs else 0.0
    known = [(fit.speed.times(grams), math.hypot(_width(fit.speed), batch)) for fit, grams in runs]
    if prior:
        known.insert(0, (prior.speed.times(prior.charge_g), _width(prior.speed)))
    if not known:
        raise InputError("A speed needs a batch with two readings", advice="Read the size twice.")
    weights = [deviation**-2 for _, deviation in known]
    middles = [math.log(span.value) for span, _ in known]
    mean = sum(w * x for w, x in zip(weights, middles, strict=True)) / sum(weights)
    deviation = math.hypot(sum(weights) ** -0.5, batch if runs else 0.0)
    span = Span(*(math.exp(mean + side * deviation) / charge_g for side in (-1, 0, 1)))
    return KitSpeed(span, charge_g, len(runs))


def _width(span: Span) -> float:
    return 0.5 * math.log(span.high / span.low)
