"""What is known of a seeding, with what is taken as usual for the rest."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from nibsmith.answers.wording import degrees
from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Span
from nibsmith.science.tables import load
from nibsmith.science.temper import Around, Chocolate, Program, Seeding, Unknown, latent_heat, program

BOWLS = ("steel", "aluminium", "glass", "ceramic", "plastic", "none")


@dataclass(frozen=True)
class SeedAsked:
    """What is known of mass, seed and bowl; what is ``None`` is taken as usual, and the answer says so.

    ``mass_g`` [g] at ``mass_celsius`` [°C]; ``seed_g`` [g] at ``seed_celsius`` [°C]; ``target_celsius`` is
    what the whole is to be [°C]; ``melted_share`` is the part of the seed that melts [0 to 1]. ``bowl_g``
    [g] of ``bowl`` (steel, aluminium, glass, ceramic, plastic, none); ``room_celsius`` [°C]; ``minutes`` of
    stirring. ``program`` overrules the published one of the kind. ``unknown`` is what is asked for.
    """

    mass_g: float | None = None
    mass_celsius: float | None = None
    seed_g: float | None = None
    seed_celsius: float | None = None
    target_celsius: float | None = None
    melted_share: Span | None = None
    bowl_g: float | None = None
    bowl: str = "steel"
    room_celsius: float | None = None
    minutes: float | None = None
    chocolate: Chocolate = Chocolate.DARK
    program: Program | None = None
    unknown: Unknown = Unknown.SEED
    scale_g: Decimal = Decimal(1)

    @property
    def temper(self) -> Program:
        """The program the mass is worked by."""
        return self.program or program(self.chocolate)


def case_of(asked: SeedAsked) -> Seeding:
    """Return the balance with everything filled in but the unknown; refuse what is missing or cannot be."""
    table = load("temper_seed")
    if asked.bowl not in BOWLS:
        raise InputError(
            "No such bowl", value=asked.bowl, advice=f"There are: {', '.join(BOWLS)}.", field="bowl"
        )
    bowl_g = asked.bowl_g if asked.bowl_g is not None else table["bowl"].value
    room = load("temper")["room"].value if asked.room_celsius is None else asked.room_celsius
    minutes = table["stirring"].value if asked.minutes is None else asked.minutes
    known = {
        "mass_g": asked.mass_g,
        "mass_celsius": asked.mass_celsius,
        "seed_g": asked.seed_g,
        "seed_celsius": table["seed_from"].value if asked.seed_celsius is None else asked.seed_celsius,
        "target_celsius": asked.temper.work_celsius.value
        if asked.target_celsius is None
        else asked.target_celsius,
    }
    _check_hot(known["mass_celsius"])
    missing = [name for name, value in known.items() if value is None and name != asked.unknown.value]
    if missing:
        raise InputError("This is needed and has no usual value", value=missing[0], field=missing[0])
    filled: dict[str, Any] = {name: 0.0 if value is None else value for name, value in known.items()}
    return Seeding(
        **filled,
        melted_share=melted_of(asked).value,
        latent=latent_heat(asked.chocolate).value,
        around=Around(bowl_g, table[asked.bowl].value, room, minutes),
    )


def _check_hot(celsius: float | None) -> None:
    hottest = load("temper_curve")["hottest"].value
    if celsius is not None and celsius > hottest:
        raise InputError(
            "No chocolate is melted so hot",
            value=degrees(celsius),
            limit=degrees(hottest),
            advice="Say whether it is °C or °F.",
            field="mass_celsius",
        )


def melted_of(asked: SeedAsked) -> Span:
    """Return how much of the seed melts, as said or as usual [0 to 1]."""
    row = load("temper_seed")["melted_share"]
    return asked.melted_share or Span(row.low or row.value, row.value, row.high or row.value)
