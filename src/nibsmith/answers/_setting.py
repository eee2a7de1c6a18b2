"""What tempering has to know of a mass: its fat, what it counts as, and the program it is worked by."""

from __future__ import annotations

from dataclasses import dataclass

from nibsmith.science.errors import OutOfRange
from nibsmith.science.mixture import Recipe, in_machine
from nibsmith.science.temper import (
    Chocolate,
    FatPhase,
    Program,
    chocolate_of,
    fat_phase,
    program_for,
    softening,
)


@dataclass(frozen=True)
class Setting:
    """The fat of a mass, what it is for tempering, and its program.

    ``lowering_k`` is the softening by foreign fat [K]; it and the program are ``None`` where too little of
    the fat is cocoa butter to say anything. ``hidden`` says that it may be enough: what is not given decides.
    """

    chocolate: Chocolate
    fat: FatPhase
    lowering_k: float | None
    program: Program | None
    hidden: bool = False


def setting_of(recipe: Recipe) -> Setting:
    """Return how a mass is tempered.

    Parameters
    ----------
    recipe : Recipe
        The recipe, nested recipes opened up; fold-ins do not count.

    Returns
    -------
    Setting
        With the published program, shifted where it is dark.

    Raises
    ------
    InputError
        If nothing goes into the machine.
    UnknownFigure
        If milk solids or cocoa solids are not known.
    """
    fat = fat_phase(recipe)
    chocolate = chocolate_of(in_machine(recipe))
    try:
        lowering_k = softening(fat.cocoa_butter_share)
    except OutOfRange:
        return Setting(chocolate, fat, None, None, _may_be_enough(fat))
    program = program_for(chocolate, lowering_k, other_fat=fat.other_fat_g.value > 0)
    return Setting(chocolate, fat, lowering_k, program)


def _may_be_enough(fat: FatPhase) -> bool:
    """Whether enough of the fat could be cocoa butter if what is not given were all of it."""
    other_percent = fat.total_percent.low - fat.cocoa_butter_percent.low
    most_percent = fat.cocoa_butter_percent.high
    if not fat.unknown or not most_percent:
        return False
    try:
        softening(most_percent / (most_percent + other_percent))
    except OutOfRange:
        return False
    return True
