"""The kits of a small workshop as data: charge, size reached, time, residue and end water."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import cast

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.tables import Status, load_data


@dataclass(frozen=True, slots=True)
class Kit:
    """A machine or a way of grinding.

    Masses in grams, sizes in µm (largest grains), times in hours, temperatures in °C, water in percent of the
    finished mass. ``end_water_percent`` is ``None`` where the water stays nearly as charged. ``charge_note``
    goes with the charge of the table, and not with a machine of the maker's own. ``judged`` names the figures
    of the table that are a judgement and no practice of the trade.
    """

    key: str
    name: str
    charge_min_g: float | None
    charge_max_g: float | None
    size_um: tuple[float, float]
    hours: tuple[float, float]
    residue_g: Span
    loss_percent: float
    end_water_percent: Span | None
    grinds_sugar: bool
    ceiling_celsius: float | None
    ceiling_milk_celsius: float | None
    warm_celsius: tuple[float, float] | None
    status: Status
    source: str
    notes: tuple[str, ...] = ()
    charge_note: str = ""
    judged: frozenset[str] = frozenset()

    def status_of(self, figure: str) -> Status:
        """Return how far one figure is to be trusted, by the name of its field."""
        of_table = self.status is Status.COMMON_PRACTICE
        return Status.JUDGEMENT if of_table and figure in self.judged else self.status

    @property
    def usual_end_water_percent(self) -> float | None:
        """Usual water of the finished mass [%], ``None`` where it stays as charged."""
        return None if self.end_water_percent is None else self.end_water_percent.value

    @property
    def remarks(self) -> tuple[str, ...]:
        """What to keep in mind."""
        return (*self.notes, self.charge_note) if self.charge_note else self.notes


@dataclass(frozen=True, slots=True)
class Mould:
    """A mould: its cavity mass [g] and how many cavities one mould has."""

    name: str
    cavity_g: float
    cavities: int = 1


@lru_cache(maxsize=1)
def kits() -> Mapping[str, Kit]:
    """Return every packaged kit by key.

    Returns
    -------
    Mapping[str, Kit]
        Keys in the order of ``tables/kits.toml``.

    Examples
    --------
    >>> kits()["stone"].grinds_sugar
    True
    """
    rows = cast("Mapping[str, Mapping[str, object]]", load_data("kits"))
    return MappingProxyType({key: _kit(key, row) for key, row in rows.items()})


def kit(key: str) -> Kit:
    """Return one kit.

    Parameters
    ----------
    key : str
        A key of the table, such as ``stone``.

    Returns
    -------
    Kit
        The kit.

    Raises
    ------
    InputError
        With the keys there are.

    Examples
    --------
    >>> kit("stone").key
    'stone'
    """
    if key not in kits():
        raise InputError(
            "No kit has this key", value=key, advice=f"The kits are: {', '.join(kits())}.", field="kit"
        )
    return kits()[key]


def check_residue(residue_g: Decimal, charge_max_g: Decimal | float | None) -> None:
    """Refuse that as much stays in a machine as it holds.

    Parameters
    ----------
    residue_g : Decimal
        What stays in it whatever the batch [g].
    charge_max_g : Decimal, float or None
        The largest charge [g]; ``None`` where it is not known, and nothing is refused.

    Raises
    ------
    InputError
        With both masses.

    Examples
    --------
    >>> check_residue(Decimal(140), 3000.0)
    """
    most = None if charge_max_g is None else Decimal(str(charge_max_g))
    if most is not None and residue_g >= most:
        raise InputError(
            "As much stays behind as it holds",
            value=f"{residue_g.normalize():f} g",
            limit=f"less than its largest charge, {most.normalize():f} g",
            field="residue_g",
        )


def _pair(row: Mapping[str, object], name: str) -> tuple[float, float]:
    numbers = cast("list[float]", row[name])
    return float(numbers[0]), float(numbers[1])


def _span(row: Mapping[str, object], name: str) -> Span | None:
    if name not in row:
        return None
    low, value, high = (float(number) for number in cast("list[float]", row[name]))
    return Span(low, value, high)


def _number(row: Mapping[str, object], name: str) -> float | None:
    return float(cast("float", row[name])) if name in row else None


def _kit(key: str, row: Mapping[str, object]) -> Kit:
    return Kit(
        key=key,
        name=str(row["name"]),
        charge_min_g=_number(row, "charge_min_g"),
        charge_max_g=_number(row, "charge_max_g"),
        size_um=_pair(row, "size_um"),
        hours=_pair(row, "hours"),
        residue_g=_span(row, "residue_g") or Span.exactly(0.0),
        loss_percent=_number(row, "loss_percent") or 0.0,
        end_water_percent=_span(row, "end_water_percent"),
        grinds_sugar=bool(row["grinds_sugar"]),
        ceiling_celsius=_number(row, "ceiling_celsius"),
        ceiling_milk_celsius=_number(row, "ceiling_milk_celsius"),
        warm_celsius=_pair(row, "warm_celsius") if "warm_celsius" in row else None,
        status=Status(str(row["status"])),
        source=str(row.get("source", "")),
        notes=tuple(cast("list[str]", row.get("notes", []))),
        charge_note=str(row.get("charge_note", "")),
        judged=frozenset(cast("list[str]", row.get("judged", []))),
    )
