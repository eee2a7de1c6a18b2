"""The inside of a bean under a given air: a picture with its range, closed by the weight after the roast."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from nibsmith.science.errors import InputError, OutOfRange
from nibsmith.science.mixture import Span
from nibsmith.science.numerics import Array, Distribution, Triangle, alone, drawn, variance_shares, widest
from nibsmith.science.roast.bean import BeanSize, usual_bean
from nibsmith.science.roast.core import Drying, Heated, heated
from nibsmith.science.roast.curves import SECONDS_A_MINUTE, Curve
from nibsmith.science.roast.drying import Shape
from nibsmith.science.roast.loss import Loss, Weighing, split_loss
from nibsmith.science.roast.shells import Bodies
from nibsmith.science.tables import load

CORE_DRAWS = 128
_ALONE = 8
_LOW_PERCENT, _HIGH_PERCENT = 5, 95
_DRIEST = 100  # a bean never loses the last hundredth of its water here
J_A_KJ = 1000


class Body(StrEnum):
    """What stands for a bean: the sphere of its volume, the sphere of its volume by surface, or a slab."""

    SPHERE = "sphere"
    EQUIVALENT = "equivalent"
    SLAB = "slab"


@dataclass(frozen=True)
class CoreSetup:
    """What the inside of a bean depends on besides the air.

    ``transfer`` from the air to a bean with its range [W/(m² K)], ``start_celsius`` of the beans [°C], how
    far the air at the beans may be off what was measured or set [K], their mean size, and the body that
    stands for one.
    """

    weighing: Weighing
    transfer: Span
    start_celsius: float
    air_off_k: float
    size: BeanSize = field(default_factory=usual_bean)
    body: Body = Body.EQUIVALENT


@dataclass(frozen=True, eq=False)
class BeanCore:
    """The inside of beans over time: a picture, not calibrated to any kit.

    Temperature of the core with its 5 to 95 % range [°C] at ``times_s`` [s]; ``evaporated`` share of the
    charge [0 to 1]; ``hottest`` core [°C]; ``dry_hottest`` what it would be if no water left [°C];
    ``diffusivity`` of the water at 60 °C [m²/s]; ``widest`` what widens the hottest core most.
    """

    times_s: Array
    core: Array
    core_low: Array
    core_high: Array
    evaporated: Array
    hottest: Span
    dry_hottest: float
    diffusivity: float
    loss: Loss
    widest: tuple[str, ...]


def bean_core(air: Curve, setup: CoreSetup) -> BeanCore:
    """Return the temperature inside the beans of a roast from the air around them.

    Conduction in a sphere or slab; the water that the weights say has left takes its heat of evaporation from
    the surface. The range comes from draws of transfer, size, conductivity, heat capacity, water, and how
    drying speeds up with heat.

    Parameters
    ----------
    air : Curve
        Temperature of the air from the moment the beans go in [s, °C].
    setup : CoreSetup
        Weights, transfer, start, size.

    Returns
    -------
    BeanCore
        Core temperature with its range [°C].

    Raises
    ------
    InputError
        If the weights cannot be right, the air has one reading alone, or its readings have a gap.
    OutOfRange
        If the air was never warm, or hotter than the model is asked.

    Notes
    -----
    Range: air that comes above 60 °C and stays up to 200 °C, whole beans in which air moves freely. No claim
    about microbes may rest on it.

    Examples
    --------
    >>> oven = Curve(np.array([0.0, 1800.0]), np.array([140.0, 140.0]), 2000.0)
    >>> setup = CoreSetup(Weighing(1000.0, 950.0), Span(20.0, 27.0, 35.0), 20.0, 5.0)
    >>> found = bean_core(oven, setup)
    >>> round(found.hottest.value), found.dry_hottest > found.hottest.value
    (138, True)

    References
    ----------
    [crank-1975], [cocoa-drying], [common-practice]
    """
    _check(air)
    _check_gaps(air)
    loss = split_loss(setup.weighing)
    if loss.doubtful:
        raise InputError(
            "The weights do not fit the water of the beans",
            value=f"{100 * loss.total:.1f} % lost",
            advice="Weigh before and after once more, with the shells.",
        )
    inputs = _inputs(setup, loss)
    every = _columns(inputs)
    bodies = _bodies(setup, every)
    found = heated(bodies, air, setup.start_celsius, _drying(every, loss.total), every[-1])
    dry = heated(_first(bodies), air, setup.start_celsius)
    return _picture(found, inputs, dry, loss)


def _check(air: Curve) -> None:
    table = load("roast_bean")
    coolest, most = table["core_coolest"].value, table["core_hottest"].value
    hottest = air.hottest[1]
    if not coolest <= hottest <= most:
        raise OutOfRange(
            "The inside of a bean is not worked out for this air",
            value=f"{hottest:.0f} °C",
            limit=f"{coolest:g} to {most:g} °C",
        )


def _check_gaps(air: Curve) -> None:
    """Refuse air that nobody measured for a while: a line drawn across it would be made up."""
    wide = np.flatnonzero(np.diff(air.times_s) > air.gap_s)
    if wide.size:
        place = int(wide[0])
        first, last = air.times_s[place] / SECONDS_A_MINUTE, air.times_s[place + 1] / SECONDS_A_MINUTE
        raise InputError(
            f"The air has no reading from {first:.1f} to {last:.1f} min, and no line is drawn there"
        )


def _inputs(setup: CoreSetup, loss: Loss) -> dict[str, Distribution]:
    transfer = setup.transfer
    return {
        "heat transfer from the air": Triangle(transfer.low, transfer.value, transfer.high),
        "size of the beans": _size_factor(),
        "conductivity": _row("conductivity"),
        "heat capacity": _row("heat_capacity"),
        "water before the roast": Triangle(
            loss.water_before.low, loss.water_before.value, loss.water_before.high
        ),
        "loss that is no water": Triangle(loss.rest.low, loss.rest.value, loss.rest.high),
        "heat of evaporation": _row("evaporation"),
        "how drying speeds up with heat": _row("diffusion_energy"),
        "how far the air is off": Triangle(-setup.air_off_k, 0.0, setup.air_off_k),
    }


def _row(key: str) -> Triangle:
    row = load("roast_bean")[key]
    return Triangle(row.low or row.value, row.value, row.high or row.value)


def _size_factor() -> Triangle:
    """Small and large beans of a lot, over the mean one."""
    rows = [load("roast_bean")[key] for key in ("length", "width", "thickness")]
    small = np.prod([(row.low or row.value) / row.value for row in rows])
    large = np.prod([(row.high or row.value) / row.value for row in rows])
    return Triangle(float(small) ** (1 / 3), 1.0, float(large) ** (1 / 3))


def _columns(inputs: dict[str, Distribution]) -> list[Array]:
    """One column an input: the middle, then the draws, then one input at a time."""
    together, single = drawn(inputs, CORE_DRAWS), alone(inputs, _ALONE)
    return [np.concatenate(([what.central], together[name], single[name])) for name, what in inputs.items()]


def _bodies(setup: CoreSetup, columns: list[Array]) -> Bodies:
    transfer, factor, conductivity, capacity = columns[:4]
    size = setup.size
    radius_mm = {
        Body.SPHERE: size.diameter_mm / 2,
        Body.EQUIVALENT: size.equivalent_radius_mm,
        Body.SLAB: size.thickness_mm / 2,
    }[setup.body]
    shape = Shape.SLAB if setup.body is Body.SLAB else Shape.SPHERE
    density = np.full_like(factor, load("roast_bean")["density"].value)
    return Bodies(shape, factor * radius_mm / 1000, density, capacity, conductivity, transfer)


def _drying(columns: list[Array], total: float) -> Drying:
    water, rest, latent_kj, energy = columns[4:8]
    evaporated = np.clip(total - rest, 0.0, water * (1 - 1 / _DRIEST))
    return Drying(water, evaporated, latent_kj * J_A_KJ, energy)


def _picture(found: Heated, inputs: dict[str, Distribution], dry: Heated, loss: Loss) -> BeanCore:
    hottest = found.core.max(axis=1)
    draws = slice(1, 1 + CORE_DRAWS)
    low, high = np.percentile(found.core[draws], [_LOW_PERCENT, _HIGH_PERCENT], axis=0)
    middle = found.core[0]
    ends = np.percentile(hottest[draws], [_LOW_PERCENT, _HIGH_PERCENT])
    shares = variance_shares(hottest[1 + CORE_DRAWS :], tuple(inputs))
    return BeanCore(
        times_s=found.times_s,
        core=middle,
        core_low=np.minimum(low, middle),
        core_high=np.maximum(high, middle),
        evaporated=found.evaporated[0],
        hottest=Span(
            min(float(ends[0]), float(hottest[0])), float(hottest[0]), max(float(ends[1]), float(hottest[0]))
        ),
        dry_hottest=float(dry.core.max()),
        diffusivity=float(found.diffusivity[0]),
        loss=loss,
        widest=widest(shares),
    )


def _first(bodies: Bodies) -> Bodies:
    """The usual bean alone."""
    names = ("radius_m", "density", "heat_capacity", "conductivity", "transfer")
    return Bodies(bodies.shape, *(getattr(bodies, name)[:1] for name in names))
