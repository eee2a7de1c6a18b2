"""How moulds are cooled, as far as a maker says it."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.mixture import Span


@dataclass(frozen=True)
class Cooling:
    """Where and how moulds are cooled; what is ``None`` is taken as usual, and the answer says so.

    ``thickness_mm`` of the bar [mm]; ``air_celsius`` around the moulds [°C]; ``wind`` is still, fan or
    strong; ``poured_celsius`` of the mass [°C]; ``tempered`` is false where it is left untempered on purpose.
    ``moulds`` go in together, each with ``chocolate_g`` in it and ``mould_g`` heavy when empty [g];
    ``power_w`` is what the cold machine takes up [W]. ``room_celsius`` [°C] and ``room_humidity_percent`` [%]
    are those of the room the bars come out into. ``place`` is what the fridge is called; ``exchange`` is the
    maker's own figure of the heat that its air takes up, in place of the usual one of ``wind`` [W/(m² K)].
    """

    thickness_mm: Span | None = None
    air_celsius: Span | None = None
    wind: str = "still"
    poured_celsius: Span | None = None
    tempered: bool = True
    moulds: int = 1
    chocolate_g: float | None = None
    mould_g: float | None = None
    power_w: float | None = None
    room_celsius: float | None = None
    room_humidity_percent: float | None = None
    place: str = ""
    exchange: Span | None = None
