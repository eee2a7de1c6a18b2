"""Temper programs by kind of chocolate, and the shift that foreign fat asks of the dark one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from nibsmith.science.errors import InputError
from nibsmith.science.mixture import Mixture, Span
from nibsmith.science.tables import Constant, Status, load


class Chocolate(StrEnum):
    """What a mass is for tempering: its milk fat decides, not its name on a label."""

    DARK = "dark"
    MILK = "milk"
    WHITE = "white"


class ProgramTable(StrEnum):
    """Which published table a program is from."""

    FIRST = "first"
    SECOND = "second"


@dataclass(frozen=True)
class Program:
    """A temper program: melt, cool, work [°C], and the warmest that keeps the seeds, where it is given.

    ``shift_k`` says by how much the dark program was lowered for foreign fat [K].
    """

    chocolate: Chocolate
    melt_celsius: Span
    cool_celsius: Span
    work_celsius: Span
    most_celsius: float | None
    source: str
    place: str
    status: Status
    shift_k: float = 0.0


def program(chocolate: Chocolate, table: ProgramTable = ProgramTable.FIRST) -> Program:
    """Return the published program of a kind of chocolate.

    Parameters
    ----------
    chocolate : Chocolate
        Dark, milk or white.
    table : ProgramTable
        Which of the two published tables.

    Returns
    -------
    Program
        Temperatures of the mass [°C].

    Examples
    --------
    >>> program(Chocolate.DARK).work_celsius
    Span(low=31.0, value=31.5, high=32.0)

    References
    ----------
    [chocolate-academy-tempering], [ckbk-tempering]
    """
    prefix = chocolate.value if table is ProgramTable.FIRST else f"other_{chocolate.value}"
    rows = load("temper")
    work = rows[f"{prefix}_work"]
    most = rows.get(f"{prefix}_max")
    return Program(
        chocolate=chocolate,
        melt_celsius=_span(rows[f"{prefix}_melt"]),
        cool_celsius=_span(rows[f"{prefix}_cool"]),
        work_celsius=_span(work),
        most_celsius=None if most is None else most.value,
        source=work.source,
        place=work.place,
        status=work.status,
    )


def chocolate_of(mass: Mixture) -> Chocolate:
    """Return which program a mass belongs to.

    From 12 % dry milk solids on it is milk chocolate, and white where fat-free dry cocoa solids stay under
    2.5 %; everything else is tempered as dark, a white mass without milk too.

    Parameters
    ----------
    mass : Mixture
        What is ground together.

    Returns
    -------
    Chocolate
        Dark, milk or white.

    Raises
    ------
    UnknownFigure
        If milk solids or cocoa solids are not known.

    Examples
    --------
    >>> from nibsmith.science.mixture import Form, Recipe, in_machine, part
    >>> bar = Recipe("b", Form.BAR, (part("cocoa_mass", 70.0), part("sugar_granulated", 30.0)))
    >>> chocolate_of(in_machine(bar)).value
    'dark'

    References
    ----------
    [codex87]
    """
    table = load("temper")
    if mass.percent("milk_solids") < table["milk_from"].value:
        return Chocolate.DARK
    if mass.percent("fat_free_dry_cocoa_solids") < table["cocoa_in_milk"].value:
        return Chocolate.WHITE
    return Chocolate.MILK


def shifted(dark: Program, lowering_k: float) -> Program:
    """Return a dark program lowered for foreign fat; melting stays, for old crystals must all go.

    Parameters
    ----------
    dark : Program
        A program for dark chocolate.
    lowering_k : float
        By how much [K].

    Returns
    -------
    Program
        Cooling, working and the warmest point lowered [°C].

    Raises
    ------
    InputError
        For milk or white: their published programs already hold the shift of their milk fat.

    Examples
    --------
    >>> shifted(program(Chocolate.DARK), 1.5).work_celsius.value
    30.0
    """
    if dark.chocolate is not Chocolate.DARK:
        raise InputError("Only the dark program is shifted", value=dark.chocolate.value)
    return replace(
        dark,
        cool_celsius=dark.cool_celsius + Span.exactly(-lowering_k),
        work_celsius=dark.work_celsius + Span.exactly(-lowering_k),
        most_celsius=None if dark.most_celsius is None else dark.most_celsius - lowering_k,
        shift_k=lowering_k,
    )


def program_for(
    chocolate: Chocolate,
    lowering_k: float,
    *,
    other_fat: bool,
    table: ProgramTable = ProgramTable.FIRST,
) -> Program:
    """Return the program a mass is worked by.

    Dark is shifted for every foreign fat in the mass. Milk and white keep their own program, which holds the
    shift of their milk fat; only where yet other fat is ground in, the shifted dark program takes over if it
    is the cooler one.

    Parameters
    ----------
    chocolate : Chocolate
        What the mass is.
    lowering_k : float
        Softening of its cocoa butter by all foreign fat in the mass [K].
    other_fat : bool
        Whether fat that is neither cocoa butter nor milk fat is in the mass.
    table : ProgramTable
        Which of the two published tables.

    Returns
    -------
    Program
        Temperatures of the mass [°C].

    Examples
    --------
    >>> program_for(Chocolate.MILK, 1.5, other_fat=False).work_celsius.value
    29.5
    >>> round(program_for(Chocolate.MILK, 3.6, other_fat=True).work_celsius.value, 1)
    27.9

    References
    ----------
    [chocolate-academy-tempering], [ckbk-tempering]
    """
    dark = shifted(program(Chocolate.DARK, table), lowering_k)
    own = program(chocolate, table)
    if chocolate is Chocolate.DARK:
        return dark
    return dark if other_fat and dark.work_celsius.value < own.work_celsius.value else own


def softest_published() -> float:
    """Return how far the coolest published working temperature lies under the dark one.

    Returns
    -------
    float
        Dark minus white, middles of both ranges [K].

    Examples
    --------
    >>> softest_published()
    3.0

    References
    ----------
    [chocolate-academy-tempering]
    """
    dark, white = program(Chocolate.DARK), program(Chocolate.WHITE)
    return dark.work_celsius.value - white.work_celsius.value


def _span(row: Constant) -> Span:
    low = row.value if row.low is None else row.low
    high = row.value if row.high is None else row.high
    return Span(low, row.value, high)
